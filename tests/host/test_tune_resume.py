"""`inlane tune`: the same answer for any number of workers and after an interruption; files are checked."""

import os
import signal

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from hil.command import app, tuning_games
from hil.season import run
from hil.season.kept import Kept, PlanProgress
from hil.season.measures import NAMES, Measured, measured_of

QUICK = ("tune", "kit_room", "--skill", "first_timer", "--set", "balls=1")
SWEEP = (*QUICK, "--games", "9", "--sweep", "ball_save=0..2/2", "--json")
PLANS = 3  # the usual value is among those of the sweep


@pytest.fixture(autouse=True)
def _short_blocks(monkeypatch):
    monkeypatch.setattr(run, "BLOCK", 4)


def asked(*options: str):
    return CliRunner().invoke(app, [*SWEEP, *options], standalone_mode=False)


@pytest.fixture(scope="module")
def at_once() -> str:
    """Without an interruption, in blocks of the usual size."""
    ran = asked("--workers", "1")
    assert ran.return_value == 0, ran.output
    return ran.stdout


def test_workers_make_no_difference(at_once):
    assert asked("--workers", "2").stdout == at_once


def test_a_named_backend_of_joblib_makes_no_difference(at_once):
    assert asked("--workers", "2", "--backend", "threading").stdout == at_once


@pytest.mark.parametrize("block", [1, 2, 4, 7])
def test_after_an_interruption_the_answer_is_the_same(tmp_path, monkeypatch, at_once, block):
    """Three blocks a plan: within the first one, after it, within the second, within the third."""
    path, play_block, played = tmp_path / "kept", tuning_games.play_block, []

    def interrupted(job, games):
        played.append(games)
        if len(played) == block:
            os.kill(os.getpid(), signal.SIGINT)
        return play_block(job, games)

    monkeypatch.setattr(tuning_games, "play_block", interrupted)
    first = asked("--workers", "1", "--resume", str(path))
    assert first.return_value == 130
    assert f"--resume {path} goes on" in first.output
    assert len(played) == block
    monkeypatch.setattr(
        tuning_games, "play_block", lambda job, games: played.append(1) or play_block(job, games)
    )
    second = asked("--workers", "1", "--resume", str(path))
    assert second.stdout == at_once
    assert len(played) == 3 * PLANS


def test_what_is_kept_is_not_played_again(tmp_path, monkeypatch, at_once):
    path = tmp_path / "kept"
    asked("--workers", "1", "--resume", str(path))
    monkeypatch.setattr(tuning_games, "play_one", None)
    assert asked("--workers", "1", "--resume", str(path)).stdout == at_once


def test_a_file_that_is_not_resumed_says_how_it_could_be(monkeypatch):
    play_block = tuning_games.play_block

    def interrupted(job, games):
        os.kill(os.getpid(), signal.SIGINT)
        return play_block(job, games)

    monkeypatch.setattr(tuning_games, "play_block", interrupted)
    ran = asked("--workers", "1")
    assert ran.return_value == 130
    assert "interrupted after 4 of 9 games; with --resume FILE it could go on" in ran.output


def test_another_question_is_refused(tmp_path):
    path = str(tmp_path / "kept")
    asked("--workers", "1", "--resume", path)
    other = CliRunner().invoke(app, [*QUICK, "--games", "4", "--resume", path])
    assert isinstance(other.exception, UsageError)
    assert "this file has another question" in str(other.exception)


def measured() -> Measured:
    return Measured({seed: tuple(1 / (seed + place) for place in range(len(NAMES))) for seed in range(3, 6)})


def test_measures_are_kept_to_the_last_bit():
    again = measured_of(measured().plain())
    assert again.by_seed == measured().by_seed


def test_plans_are_kept_side_by_side(tmp_path):
    path = tmp_path / "kept"
    kept = Kept("x")
    for name, done in (("a", 3), ("b", 2), ("a", 5)):
        PlanProgress(name, done, measured=measured(), kept=kept).write(path)
    again = Kept("x", path)
    assert [again.progress(name, 9).done for name in ("a", "b", "c")] == [5, 2, 0]
    assert again.progress("a", 9).measured == measured()


@pytest.mark.parametrize("text", ["", "{}\n", '{"question": "x"}\n{"plan": "a"}\n', "no JSON\n"])
def test_other_files_are_refused(tmp_path, text):
    path = tmp_path / "kept"
    path.write_text(text)
    with pytest.raises(UsageError, match="no question can be resumed from this file"):
        Kept("x", path)


def test_more_games_than_asked_for_are_refused(tmp_path):
    path = tmp_path / "kept"
    PlanProgress("a", 30, kept=Kept("x")).write(path)
    with pytest.raises(UsageError, match="has 30 games of a plan already; asked for are 20"):
        Kept("x", path).progress("a", 20)


def test_a_place_that_cannot_be_written_is_said(tmp_path):
    with pytest.raises(UsageError, match="cannot be kept"):
        PlanProgress("a", kept=Kept("x")).write(tmp_path / "nowhere" / "kept")
