"""Kite Day: what a game of digits, chimes and one ball says of its outputs is checked, judged and drawn."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from firmware.base import trace
from hil import games
from hil.bench import faults
from hil.bench.judge import ScoreWatch
from hil.bench.names import of_console
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.view import Record, View
from hil.checks import board
from hil.checks.build import all_findings
from hil.electrical.worksheets import connections, tables
from simulator.plant import Plant

NAME = "my_kites"
SMALL = '("count", 2, 7, "count")'
CUE = '("tail", (("chime.high", 130), ("chime.middle", 130), ("chime.high", 130), ("chime.low", 130)))'


@pytest.fixture
def copy(tmp_path, monkeypatch):
    """A copy of Kite Day as a game of one's own."""
    folder = tmp_path / NAME
    shutil.copytree(games.BUILT_IN / "kite_day", folder, ignore=shutil.ignore_patterns("__pycache__"))
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kite_day", NAME))
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    return folder


MISTAKES = (
    # a row as it should be, as it is, what is said
    (SMALL, '("count", 2, 7, "cuont")', "has the unknown use 'cuont'; did you mean 'count'?"),
    (SMALL, '("count", 2, 9, "count")', "has 9 segments; 7 or 14 are allowed"),
    (SMALL, '("count", 0, 7, "count")', "has 0 digits; 1 to 16 are allowed"),
    (SMALL, '("count", 2, 7)', "a row of DISPLAYS has 4 values (name, digits, segments, use), not 3"),
    (SMALL, '("count", "2", 7, "count")', "has the digits '2', which is no whole number"),
    (CUE, '("tail", (("chime.hihg", 110),))', "coil 'chime.hihg' is asked for by CHIMES but not wired"),
    (CUE, '("tail", (("chime.high", 90),))', "goes on 90 ms after 'chime.high'; it takes 125 to 2000"),
    (CUE, '("tail", (("chime.high", "110"),))', "it is a coil and the ms until the next"),
    (CUE, '("tail", 110)', "'tail' has the strokes 110, which is no tuple"),
    (CUE, '("tial", (("chime.high", 130),))', "'tial' in CHIMES is played by nobody; did you mean 'tail'?"),
)


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES)
def test_a_mistake_in_displays_and_chimes_is_named_with_its_line(copy, old, new, said):
    path = copy / "wiring.py"
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, new))
    line = text[: text.index(old)].count("\n") + 1
    found = [f"{finding.where}: {finding.text}" for finding in all_findings(str(copy)) if finding.fatal]
    assert len(found) == 1
    assert said in found[0]
    assert found[0].startswith(f"{copy}/wiring.py:{line}: ")


def test_a_copy_is_a_game_of_its_own(copy):
    assert [str(finding) for finding in all_findings(str(copy))] == []


def test_a_game_without_displays_of_digits_is_refused_by_the_feature_that_needs_them(copy):
    path = copy / "wiring.py"
    path.write_text(path.read_text().replace("DISPLAYS = (", "DISPLAYED = ("))
    found = [finding.text for finding in all_findings(str(copy)) if finding.fatal]
    assert found == ["scores are on displays of their own, but wiring.py has no DISPLAYS"]


def parse(text, words):
    return script.parse(text, Path("x.play"), words)


def test_a_display_is_expected_by_its_name_or_number():
    words = of_game(games.load("kite_day"))
    head = "title x\ncovers scoreboard\n"
    parse(head + 'expect display count is "2"\nexpect line 5 is "2"\nexpect display contains "2"\n', words)
    with pytest.raises(Exception, match="1 to 5"):
        parse(head + 'expect line 6 is "2"\n', words)


def shown(view, display, text):
    """Records that write `text` to a display."""
    size = len(view.cells[display])
    cells = [ord(char) for char in text.rjust(size)]
    for first in range(0, size, 3):
        value = sum(cell << 9 * i for i, cell in enumerate(cells[first : first + 3]))
        view.take(Record(view.now_ms, trace.TEXT, display * 8 + first // 3, value))


def test_a_score_display_that_is_not_the_ledgers_sum_is_found():
    view = View(of_console(games.load("kite_day").console()))
    watch = ScoreWatch(view)
    view.playing, view.players, view.player = True, 2, 2
    view.scores = {1: 500, 2: 12_345_670}
    for display, text in ((0, "500"), (1, "2345670")):
        shown(view, display, text)
    watch.check_display()
    assert watch.findings == []
    view.now_ms = 5
    shown(view, 0, "490")
    watch.check_display()
    assert [finding.seen for finding in watch.findings] == ["490 and 2345670"]


def test_the_one_ball_is_at_home_in_the_outhole_and_a_hand_plunges_it():
    console = games.load("kite_day").console()
    plant = Plant(games.load("kite_day").host("routes"), console.switch_names, console.coil_names)
    plant.start(0)
    assert (plant.home, plant.places()["outhole"]) == ("outhole", 1)
    plant.take(10)
    plant.coil("outhole_kick", 30, 20)
    plant.take(3000)
    assert plant.places()["lane"] == 1
    plant.shoot("plunge", 3000, lane=1)
    changes = plant.take(9000)
    assert ("breeze.1", True) in changes
    assert plant.lost == 0


@pytest.mark.parametrize("command", [["card"], ["season", "--games", "3"], ["draw"], ["wiring"]])
def test_commands_work_on_it(command, tmp_path):
    name, *options = command
    out = ["--out", str(tmp_path / "out")] if name in ("draw", "wiring") else []
    run = subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", name, "kite_day", *options, *out],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
    )
    assert run.returncode == 0, run.stderr


def test_the_sheet_lists_a_driver_for_each_display():
    game = games.load("kite_day")
    sheet = tables.sheet("kite_day", "pico_matrix", connections.of_wiring(game.wiring))
    for number, (name, *_) in enumerate(game.wiring.DISPLAYS):
        assert f"| {name} |" in sheet
        assert f"| 0x7{number} |" in sheet


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ((("wide", 9, 7, "score"),), "display 'wide' has 9 digits; a driver of this board has 8"),
        ((("words", 8, 14, "score"),), "display 'words' has 14 segments; this board drives 7 and a point"),
        ((("a", 2, 7, "count"),) * 9, "there are 9 displays; this board has addresses for 8"),
    ],
)
def test_the_board_refuses_displays_that_it_cannot_drive(rows, said, monkeypatch):
    wiring = games.load("kite_day").wiring
    assert board.check("pico_matrix", wiring) == []
    monkeypatch.setattr(wiring, "DISPLAYS", rows)
    assert board.check("pico_matrix", wiring) == [said]


def test_old_text_of_each_planted_fault_stands_once():
    found = faults.read(Path(__file__).parents[1] / "faults" / "kite_day.toml")
    assert len({one.name for one in found}) == len(found) >= 30
    for one in found:
        assert (faults.FIRMWARE.parent / one.file).read_text().count(one.old) == 1, one.name
