"""`inlane check`: one sentence with file, line and near miss for each thing wrong with a game folder."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hil import games
from hil.checks.build import all_findings

NAME = "my_apiary"


@pytest.fixture
def copy(tmp_path, monkeypatch):
    """A copy of Honey Flow as a game of one's own, its tables by hand."""
    folder = tmp_path / NAME
    shutil.copytree(games.BUILT_IN / "honey_flow", folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "host/machine.py").unlink()
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.honey_flow", NAME))
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    return folder


def change(path: Path, old: str, new: str) -> int:
    """Replace the one place where `old` stands; its line."""
    text = path.read_text()
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {path.name}"
    path.write_text(text.replace(old, new))
    return text[: text.index(old)].count("\n") + 1


def fatal(folder: Path) -> list[str]:
    return [f"{finding.where}: {finding.text}" for finding in all_findings(str(folder)) if finding.fatal]


def test_game_that_comes_with_the_kit_is_fit_to_play():
    assert [str(finding) for finding in all_findings("honey_flow") if finding.fatal] == []


def test_copy_of_it_is_a_game_of_its_own(copy):
    assert fatal(copy) == []


@pytest.mark.sampled(4)
@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        (
            "wiring.py",
            '("bee.2", "rollover"',
            '("bee.1", "rollover"',
            "switch 'bee.1' is wired twice (first in line 11)",
        ),
        (
            "wiring.py",
            '"rollover", "playfield", 1, 2)',
            '"rollover", "playfield", 1, 1)',
            "switch 'bee.2' has the place 'row 1, column 1', which 'bee.1' has already",
        ),
        (
            "wiring.py",
            '("times.3", "white"',
            '("times.2", "white"',
            "lamp 'times.2' is wired twice (first in line 71)",
        ),
        (
            "wiring.py",
            '("kickback", "snap", 30, 50,',
            '("kickback", "snap", 30, 0,',
            "coil 'kickback' has no longest on-time; give it one in ms",
        ),
        (
            "wiring.py",
            '("kickback", "snap", 30, 50, 500,',
            '("kickback", "snap", 30, 50, 0,',
            "coil 'kickback' has no rest time; give it one in ms",
        ),
        (
            "wiring.py",
            '("kickback", "snap", 30, 50,',
            '("kickback", "snap", 60, 50,',
            "coil 'kickback' pulses for 60 ms; its limit is 50 ms",
        ),
        (
            "wiring.py",
            '("kickback", "snap", 30,',
            '("kickback", "snap", -1,',
            "coil 'kickback' is held on, which only flipper and motor coils may be",
        ),
        (
            "wiring.py",
            '("kickback", "snap", 30,',
            '("kickback", "snap", 30.5,',
            "'kickback' has the pulse 30.5, which is no whole number",
        ),
        (
            "wiring.py",
            '("kickback", "snap", 30,',
            '("kickback", "snapp", 30,',
            "coil 'kickback' has the unknown class 'snapp'; did you mean 'snap'?",
        ),
        (
            "wiring.py",
            '("bee.1", "rollover"',
            '("bee.1", "rolover"',
            "switch 'bee.1' has the unknown debounce class 'rolover'; did you mean 'rollover'?",
        ),
        (
            "wiring.py",
            '("bee.1", "rollover", "playfield", 1,',
            '("bee.1", "rollover", "playfeild", 1,',
            "switch 'bee.1' has the unknown zone 'playfeild'; did you mean 'playfield'?",
        ),
        (
            "wiring.py",
            '("meadow.1", "bumper.1", 20',
            '("meadw.1", "bumper.1", 20',
            "switch 'meadw.1' is used by REFLEXES but not wired; did you mean 'meadow.1'?",
        ),
        (
            "wiring.py",
            '("meadow.1", "bumper.1", 20',
            '("meadow.1", "bumper.1", 40',
            "coil 'bumper.1' is pulsed for 40 ms; its limit is 30 ms",
        ),
        ("wiring.py", "BALLS = 3", "BALLS = 0", "BALLS is 1 to 10, not 0"),
        ("wiring.py", "BALLS = 3", "BALLS = 4", "TROUGH has 3 switches for 4 balls"),
        ("wiring.py", "BALLS = 3", "BALLS = three", "BALLS holds plain values only, not three"),
        (
            "features/f05_pollen_run.py",
            'insert="pollen"',
            'insert="polen"',
            "lamp 'polen' is used by pollen_run but not wired; did you mean 'pollen'?",
        ),
        (
            "features/f14_guard_bee.py",
            'kick_coil = "kickback"',
            'kick_coil = "kikback"',
            "coil 'kikback' is used by guard_bee but not wired; did you mean 'kickback'?",
        ),
        (
            "game.py",
            "    PollenRun,\n    SmokerBank",
            "    PolenRun,\n    SmokerBank",
            "NameError: name 'PolenRun' is not ",
        ),
        (
            "features/f05_pollen_run.py",
            "class PollenRun(Feature):",
            "class PollenRun(Feature)",
            "expected ':'",
        ),
        (
            "scripts/pollen_run_made.play",
            "tap inlane.left",
            "tap inlane.lft",
            "there is no switch 'inlane.lft'; did you",
        ),
    ],
)
def test_what_is_wrong_is_said_with_its_place(copy, file, old, new, said):
    line = change(copy / file, old, new)
    found = fatal(copy)
    assert len(found) == 1, found
    where, _, text = found[0].partition(": ")
    assert text.startswith(said)
    assert where.startswith(f"{copy}/{file}:")
    assert abs(int(where.rpartition(":")[2]) - line) <= 1


def test_missing_table_is_named(copy):
    change(copy / "wiring.py", "TROUGH =", "TROFF =")
    assert fatal(copy) == [f"{copy}/wiring.py:1: wiring.py has no TROUGH"]


def test_game_that_uses_another_games_wiring_is_refused(copy):
    change(copy / "game.py", f"from {NAME} import wiring", "from firmware.games.honey_flow import wiring")
    assert "takes its wiring from" in fatal(copy)[0]


def inlane(*arguments: str) -> subprocess.CompletedProcess[str]:
    code = "import sys; from hil.command import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, timeout=60
    )


@pytest.mark.slow
def test_command_exits_with_2_and_no_traceback(copy):
    change(copy / "wiring.py", '("bee.2", "rollover"', '("bee.1", "rollover"')
    done = inlane("check", str(copy), "--games", "0")
    assert done.returncode == 2
    assert done.stderr.splitlines()[0].endswith(
        "wiring.py:12: switch 'bee.1' is wired twice (first in line 11)"
    )
    assert "Traceback" not in done.stderr + done.stdout


def test_replay_refuses_a_game_that_cannot_be_built(copy):
    change(copy / "features/f05_pollen_run.py", 'insert="pollen"', 'insert="polen"')
    done = inlane("replay", str(copy / "scripts" / "pollen_run_made.play"))
    assert done.returncode == 2
    assert "did you mean 'pollen'?" in done.stderr
    assert "Traceback" not in done.stderr + done.stdout


def test_unknown_game_gets_its_near_miss():
    done = inlane("check", "hony_flow")
    assert done.returncode == 2
    assert (
        done.stderr.strip()
        == "there is no game 'hony_flow', by name or as a folder; did you mean 'honey_flow'?"
    )
