"""A season is played in blocks: the same sums for any workers and after Ctrl-C; kept files are checked."""

import json
import os
import signal
from functools import partial

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from hil.bench.game_result import GameResult
from hil.command import app, season_game
from hil.command.season_game import Job, play_block
from hil.season.run import BLOCK, Block, Progress, Run, Stop, resumed

GAMES = 5 * BLOCK + 3
EMPTY = '{"groups": {}, "spreads": {}, "findings": 0, "wrong": {}}\n'
SHORT = {"balls": 1}


def counted_block(block: Block) -> list[GameResult]:
    return [
        GameResult(seed, 1, scores=[seed * 7_919 % 1_000], ms=seed, points={f"a{seed % 3}": seed})
        for seed in range(block.first, block.first + block.games)
    ]


def played(run: Run, progress: Progress, games: int = GAMES) -> str:
    with Stop() as stop:
        list(run.play(counted_block, games, progress, stop))
    return progress.aggregate.text()


def interrupted_at(seed: int) -> Run:
    return Run(each=lambda one: os.kill(os.getpid(), signal.SIGINT) if one.seed == seed else None)


@pytest.mark.parametrize("workers", [1, 2, 3])
def test_workers_make_no_difference(workers):
    seen = []
    whole = Progress("x")
    assert played(Run(workers, each=lambda one: seen.append(one.seed)), whole) == played(Run(), Progress("x"))
    assert seen == list(range(GAMES))
    assert whole.done == GAMES


def test_a_named_backend_of_joblib_makes_no_difference():
    assert played(Run(2, "threading"), Progress("x")) == played(Run(), Progress("x"))


def test_an_unknown_backend_is_refused():
    with pytest.raises(UsageError, match="no backend 'abacus' here"):
        played(Run(2, "abacus"), Progress("x"))


def test_ctrl_c_keeps_what_is_done_and_the_rest_gives_the_same_sums(tmp_path):
    path = tmp_path / "kept"
    first = resumed("x", GAMES, path)
    played(Run(kept=path, each=interrupted_at(BLOCK + 2).each), first)
    assert first.done == 2 * BLOCK
    second = resumed("x", GAMES, path)
    assert second.done == 2 * BLOCK
    assert played(Run(kept=path), second) == played(Run(), Progress("x"))
    assert resumed("x", GAMES, path).done == GAMES


def test_a_season_can_be_made_longer(tmp_path):
    path = tmp_path / "kept"
    played(Run(kept=path), resumed("x", 30, path), 30)
    assert played(Run(), resumed("x", 70, path), 70) == played(Run(), Progress("x"), 70)


def test_a_second_ctrl_c_is_an_interrupt():
    with Stop() as stop:
        os.kill(os.getpid(), signal.SIGINT)
        assert stop.wanted
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"season": "y", "done": 20}\n' + EMPTY, "another season: y"),
        ('{"season": "x", "done": 99}\n' + EMPTY, "has 99 games already"),
        ("", "no season can be resumed"),
        ('{"season": "x"}\n{}\n', "no season can be resumed"),
        ('{"season": "x", "done": 1}\n{"groups": ', "no season can be resumed"),
    ],
)  # fmt: skip
def test_other_files_are_refused(tmp_path, text, said):
    path = tmp_path / "kept"
    path.write_text(text)
    with pytest.raises(UsageError, match=said):
        resumed("x", 50, path)


def test_a_file_that_cannot_be_written_is_said(tmp_path):
    with pytest.raises(UsageError, match="cannot be kept"):
        Progress("x").write(tmp_path / "nowhere" / "kept")


def test_every_so_many_games_one_is_judged():
    job = Job("kit_room", "regular", 10, 1, SHORT, False)
    played = play_block(job, 3, Block(2, 5))
    assert [one.seed for one in played] == [12, 13, 14, 15, 16]
    assert [one.judged for one in played] == [False, True, False, False, True]
    assert not any(one.findings for one in played)


def test_a_game_that_counts_otherwise_without_records_is_a_finding(monkeypatch):
    class Forgetful(season_game.QuietGame):
        def _judge(self, balls):
            super()._judge(balls)
            self._played.cues.clear()

    monkeypatch.setattr(season_game, "QuietGame", Forgetful)
    (one,) = play_block(Job("kit_room", "regular", 10, 1, SHORT, False), 2, Block(0, 1))
    assert [(finding.expected, finding.seen) for finding in one.findings] == [
        ("the same game without records", "other cues")
    ]


def season(*options: str):
    return CliRunner().invoke(app, ["season", "kit_room", "--set", "balls=1", "--players", "1", *options])


def test_the_command_resumes_and_shows_the_whole_season(tmp_path):
    path = str(tmp_path / "kept")
    assert season("--games", "5", "--resume", path, "--json").exit_code == 0
    longer = season("--games", "12", "--resume", path, "--json")
    at_once = season("--games", "12", "--json")
    assert json.loads(longer.stdout) == json.loads(at_once.stdout)
    assert json.loads(at_once.stdout)["games"] == 12


def test_the_command_refuses_the_file_of_another_season(tmp_path):
    path = str(tmp_path / "kept")
    season("--games", "2", "--resume", path, "--json")
    other = season("--games", "4", "--seed", "9", "--resume", path)
    assert isinstance(other.exception, UsageError)
    assert '"seed": 1' in str(other.exception)


def test_ctrl_c_ends_the_command_with_its_exit_code(monkeypatch, tmp_path):
    def stopped(job, every, block):
        os.kill(os.getpid(), signal.SIGINT)
        return play_block(job, every, block)

    monkeypatch.setattr("hil.command.season_run.play_block", stopped)
    path = str(tmp_path / "kept")
    games = ["season", "kit_room", "--games", str(BLOCK + 5), "--set", "balls=1", "--players", "1"]
    options = ["--workers", "1", "--resume", path, "--json"]
    ran = CliRunner().invoke(app, [*games, *options], standalone_mode=False)
    assert ran.return_value == 130
    assert json.loads(ran.stdout.splitlines()[-1])["games"] == BLOCK
    assert f"interrupted after {BLOCK} of {BLOCK + 5} games; --resume {path} goes on" in " ".join(
        ran.output.split()
    )


@pytest.mark.parametrize(
    "option", [("--games", "-3"), ("--players", "9"), ("--workers", "-1"), ("--full-every", "-1")]
)
def test_values_out_of_range_are_refused(option):
    ran = season(*option)
    assert ran.exit_code == 2
    assert f"Invalid value for '{option[0]}'" in ran.output


def test_partial_blocks_are_picklable_for_workers():
    run = Run(2)
    progress = Progress("x")
    job = Job("kit_room", "regular", 1, 1, SHORT, False)
    with Stop() as stop:
        assert list(run.play(partial(play_block, job, 10), 25, progress, stop)) == [20, 25]
    assert progress.aggregate.total().judged == 3
