"""`inlane check` on a game whose charts are broken: what the user reads, and the exit code."""

import subprocess
import sys

import pytest

from firmware.charts.model import After
from hil import games
from hil.checks.build import all_findings
from hil.checks.chart_source import places
from hil.command.new import make_like

RUSH = """        ("idle", "saw", "falling", "start"),
        ("falling", "bench.left", "idle", "collect"),
        ("falling", "rush.expired", "idle", None),
"""
FIRST = 15  # the line of its first row, one import added
NO_COILS = "no windings in host/coils.py"


@pytest.fixture
def game(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    folder = tmp_path / "my_room"
    make_like(folder, "kit_room")
    return folder


def write(game, rows, span="BALL", more=""):
    """Another chart for the game's rush; `more` goes into its __init__."""
    path = game / "features" / "rush.py"
    text = path.read_text()
    assert text.splitlines()[FIRST - 2] == RUSH.splitlines()[0]
    text = text.replace(RUSH, "".join(f"        {row},\n" for row in rows))
    text = text.replace("span = BALL", f"span = {span}").replace("import BALL", f"import {span}")
    text = text.replace(
        "from firmware.parts", "from firmware.charts.model import ANY, external\nfrom firmware.parts", 1
    )
    text = text.replace("        super().__init__(play)\n", f"        super().__init__(play)\n{more}")
    path.write_text(text)


def told(game):
    found = [str(finding) for finding in all_findings(str(game))]
    return [words.removeprefix(f"{game}/features/") for words in found if NO_COILS not in words]


GOOD = ('("idle", "saw", "falling", "start")', '("falling", "bench.left rush.expired", "idle", None)')


def test_the_game_as_it_is_made_has_nothing_to_tell(game):
    assert told(game) == []


@pytest.mark.parametrize(
    ("rows", "span", "text"),
    [
        (
            ('("idle", "saw", "fallin", "start")', '("falling", "bench.left rush.expired", "idle", None)'),
            "BALL",
            "rush.py:15: no row of 'rush' is for the state 'fallin', and none declares it; "
            "did you mean 'falling'?",
        ),
        (
            (*GOOD, '("falling", "bench", None, "collect")'),
            "BALL",
            "rush.py:17: state 'falling' of 'rush' has two answers to the event 'bench.left'; "
            "line 16 is taken, this row never",
        ),
        (
            (*GOOD, '("idle", "vice", None, "colect")'),
            "BALL",
            "rush.py:17: Rush has no method 'colect', which this row does; did you mean 'collect'?",
        ),
        (
            (*GOOD, '("idle", "vice", None, "show")'),
            "BALL",
            "rush.py:17: Rush.show is called with the event; write def show(self, event)",
        ),
        (
            (*GOOD, '("idle", "vice", None, None, "ready or not")'),
            "BALL",
            "rush.py:17: chart 'rush', row 3: a guard is 'NAME' or 'in STATE', or 'not' and one of these",
        ),
        (
            (*GOOD, '("gone", "saw", "idle", None)'),
            "BALL",
            "rush.py:17: note: state 'gone' of 'rush' cannot be reached",
        ),
        (
            (*GOOD, '("idle", "anvil", "spent", None)'),
            "PERSISTENT",
            "rush.py:17: note: state 'spent' of 'rush' has no way out",
        ),
        (
            (*GOOD, '("idle", "anvill", None, "start")'),
            "BALL",
            "rush.py:17: note: 'rush' waits for the event 'anvill', which nobody raises; "
            "did you mean 'anvil'?",
        ),
        (
            ('("idle", "saw", "falling", "start")', '("falling", "bench.left", "idle", "collect")'),
            "BALL",
            "rush.py:21: note: the event 'rush.expired' is raised, but no chart waits for it",
        ),
        (
            (
                *GOOD,
                '("idle", "anvil", external("falling"), "start")',
                '(ANY, "vice", external("idle"), None)',
            ),
            "BALL",
            "rush.py:18: note: this row leaves every chart and enters it again: "
            "'plunge', 'filing' and 12 others begin anew",
        ),
    ],
)
def test_a_broken_chart_is_told_with_the_authors_file_and_line(game, rows, span, text):
    write(game, rows, span)
    assert told(game) == [text]


def test_every_error_of_the_charts_is_told_at_once(game):
    write(game, ('("idle", "saw", "falling", "strat")', '("falling", "bench.left", "idle", "colect")'))
    assert [words.partition(": ")[0] for words in told(game)] == ["rush.py:15", "rush.py:16"]


def test_an_event_of_its_own_that_nobody_hears_is_told_and_those_of_the_kit_are_not(game):
    write(game, GOOD, more='        self._own = self.event("rush.over")\n')
    assert told(game) == ["rush.py:21: note: the event 'rush.over' is raised, but no chart waits for it"]


def inlane(*arguments):
    code = "import sys; from hil.command import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, timeout=60
    )


def test_the_command_tells_an_error_with_exit_code_2(game):
    write(game, (*GOOD, '("idle", "vice", None, "colect")'))
    done = inlane("check", str(game), "--games", "0")
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        f"{game}/features/rush.py:17: Rush has no method 'colect', which this row does; "
        "did you mean 'collect'?",
        f"{game}: 1 problem; the game cannot be used",
    ]


def test_the_command_tells_a_note_with_exit_code_0_and_1_when_strict(game):
    write(game, (*GOOD, '("gone", "saw", "idle", None)'))
    done = inlane("check", str(game), "--games", "0")
    note = f"{game}/features/rush.py:17: note: state 'gone' of 'rush' cannot be reached"
    assert (done.returncode, done.stdout.splitlines()[0]) == (0, note)
    assert inlane("check", str(game), "--games", "0", "--strict").returncode == 1


@pytest.mark.parametrize("name", games.built_in())
def test_every_row_of_a_game_is_found_at_the_line_that_holds_it(name):
    rows = 0
    for feature in games.load(name).console().play.features:
        found = places.of_feature(feature)
        for at, row in enumerate(feature.chart):
            path, line = found.row(at)
            text = path.read_text().splitlines()[line - 1]
            whole = ".chart" in text  # rows of another's chart share its line
            assert row[0] in text or ("ANY" in text and row[0] == "(any)") or whole, (feature.name, at)
            made = "name" in text  # rows that a part makes for a device speak of its name
            heard = "after(" if isinstance(row[1], After) else str(row[1])
            assert heard in text or made or whole, (feature.name, at)
            rows += 1
    assert rows > 50
