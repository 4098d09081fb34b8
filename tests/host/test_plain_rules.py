"""Twenty-six small rules in plain Python: one trace on every Python here, and the score counted by hand."""

import re
from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil import games, micropython
from hil.bench.outcome import PASS
from hil.checks.build import all_findings
from hil.command.replay import Bench

FOLDER = Path(__file__).parent / "corpus" / "plain_rules"
SCRIPTS = sorted((FOLDER / "scripts").glob("*.play"))
BY_HAND = re.compile(r"^expect score is [1-9][\d,]*$", re.MULTILINE)


@pytest.fixture(scope="module")
def game():
    return games.load(str(FOLDER))


def played(game, on):
    with Bench(on) as bench:
        return {path.stem: bench.run(bench.read(path, game), game) for path in SCRIPTS}


@pytest.fixture(scope="module")
def on_desk(game):
    return played(game, "desk")


def test_every_rule_has_a_script_that_ends_with_a_score_counted_by_hand(game):
    own = {make.name for make in game.module.FEATURES if make.__module__.startswith(game.package)}
    assert len(own) == 26
    assert {path.stem for path in SCRIPTS if BY_HAND.search(path.read_text())} == own


def test_every_rule_scores_what_was_counted_by_hand(on_desk):
    assert [(name, o.problems, o.reason) for name, o in on_desk.items() if o.code != PASS] == []


def test_every_rule_makes_the_same_trace_under_micropython(game, on_desk):
    try:
        micropython.find()
    except UsageError as error:
        pytest.skip(str(error))
    there = played(game, "micropython")
    assert [(name, o.problems, o.reason) for name, o in there.items() if o.code != PASS] == []
    assert {name: o.digest for name, o in there.items()} == {name: o.digest for name, o in on_desk.items()}


def test_none_of_them_needs_refusing(game):
    assert [str(finding) for finding in all_findings(str(FOLDER)) if finding.fatal] == []
