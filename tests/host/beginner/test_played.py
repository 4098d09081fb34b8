"""`inlane check` plays random games and the scripts, collects complaints, and checks again on each save."""

import json
import shutil
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from hil.command import app
from hil.command.file_watch import watch

COLLECT = 'self.news(b"RUSH", self._award.pay(self._rush.collect()))'


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, list(words), standalone_mode=False)
    assert done.exception is None, done.output
    return done.return_value, done.output


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("made") / "kit"
    CliRunner().invoke(app, ["new", str(folder), "--like", "kit_room"], standalone_mode=False)
    return folder


@pytest.fixture
def kit(made, tmp_path, monkeypatch) -> Path:
    """A copy of the kit room, to be changed."""
    shutil.copytree(made, tmp_path / "kit", ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    return tmp_path / "kit"


def change(path: Path, old: str, new: str) -> int:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def without_scripts(game: Path) -> None:
    for path in (game / "scripts").glob("*.play"):
        path.unlink()


def test_random_games_find_a_rule_that_stops_the_machine(kit):
    without_scripts(kit)
    line = change(kit / "features/rush.py", COLLECT, "self._award.pay(1 // (self._rush.collect() * 0))")
    assert run("check", str(kit), "--games", "0")[0] == 0
    code, said = run("check", str(kit), "--games", "12")
    assert code == 2
    assert f"features/rush.py:{line}: random game of seed" in said
    assert "ZeroDivisionError" in said


def test_random_games_are_judged_by_the_standing_checks(kit):
    without_scripts(kit)
    change(kit / "features/rush.py", COLLECT, "self.play.score.points[0] += 10")
    code, said = run("check", str(kit), "--games", "12")
    assert (code, said.count("random game of seed")) == (2, 1)
    assert "expected" in said


def test_a_script_that_stops_the_machine_is_named(kit):
    line = change(kit / "features/rush.py", COLLECT, "self._award.pay(1 // (self._rush.collect() * 0))")
    code, said = run("check", str(kit), "--games", "1")
    assert code == 2
    assert f"features/rush.py:{line}: script rush_falls_with_time.play stops the machine" in said


def test_a_game_that_never_drains_is_given_up_and_told(kit):
    without_scripts(kit)
    for weight in ("40", "20", "10"):
        change(kit / "host/season.py", f'("drain", {weight})', '("drain", 0)')
    code, said = run("check", str(kit), "--games", "9")
    assert (code, said.count("random game")) == (2, 1)
    assert "host/season.py:1: random game of seed 1 has no end in 30 minutes: give drains more weight" in said


def test_a_game_without_odds_is_played_with_equal_ones(kit):
    (kit / "host/season.py").unlink()
    code, said = run("check", str(kit), "--games", "3")
    assert (code, said.splitlines()[0], said.splitlines()[-1]) == (
        0,
        f"{kit}: fit to play",
        f"{kit}: may be energised",
    )
    code, said = run("season", str(kit), "--games", "3", "--json")
    assert (code, json.loads(said)["findings"]) == (0, 0)


def test_complaints_of_every_kind_come_at_once(kit):
    change(kit / "features/rush.py", 'insert="rush"', 'insert="rusch"')
    change(kit / "features/chain.py", 'insert="combo"', 'insert="cambo"')
    change(kit / "host/keys.py", '("w", "shot", "vice", "vice")', '("ww", "shot", "vice", "vice")')
    change(kit / "host/season.py", '("vice", 30)', '("vise", 30)')
    code, said = run("check", str(kit), "--games", "0")
    assert code == 2
    complaints = [line for line in said.splitlines()[:-1] if ": on-time stage, " not in line]
    places = {line.split(": ")[0].rpartition("/kit/")[2].rpartition(":")[0] for line in complaints}
    assert places == {"features/rush.py", "features/chain.py", "host/keys.py", "host/season.py"}


def test_watch_checks_again_after_a_save_and_ends_with_ctrl_c(kit, capsys):
    waits = iter(["wrong", "nothing", "mended"])

    def wait(_seconds: float) -> None:
        match next(waits, "stop"):
            case "wrong":
                change(kit / "features/rush.py", 'insert="rush"', 'insert="rusch"')
            case "mended":
                change(kit / "features/rush.py", 'insert="rusch"', 'insert="rush"')
            case "stop":
                raise KeyboardInterrupt

    from hil.build import chips
    from hil.command.check import Asked, check_once

    asked = Asked(str(kit), False, "", chips.RP2040, 0, False)
    watch(str(kit), lambda: check_once(asked), wait)
    shown = capsys.readouterr()
    assert shown.out.count("fit to play") == 2
    assert shown.err.count("did you mean 'rush'?") == 1
    assert shown.out.endswith("stopped\n")


@pytest.mark.slow
def test_a_loop_without_an_end_is_refused_with_its_line(kit):
    line = change(kit / "features/rush.py", COLLECT, "while True: pass")
    code, said = run("check", str(kit), "--games", "9")
    assert code == 2
    assert f"features/rush.py:{line}: random game of seed" in said
    assert said.count("no return within 10 s of CPU time") == 2
