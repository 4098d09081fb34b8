"""The report of a failing script names its cause, on one screen.

`failures/failures.toml` has twenty failures of ten kinds: mistakes of scripts, and some planted in rules.
"""

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from firmware.base.errors import ScriptError
from hil import games
from hil.bench import faults, report
from hil.bench.outcome import FAIL
from hil.bench.scripts import script
from hil.command.guarded_run import add_near_misses
from hil.command.replay import Bench

FAILURES = tomllib.loads((Path(__file__).parent / "failures/failures.toml").read_text(encoding="utf-8"))[
    "failure"
]
OF_SCRIPTS = [each for each in FAILURES if "file" not in each]
OF_RULES = [each for each in FAILURES if "file" in each]
GAME = games.load("honey_flow")
RUN = "from hil.command import main; main()"


def names(failures):
    return [f"{each['kind']}: {each['name']}" for each in failures]


def told(failure, target="desk"):
    """The report of a failure in which the rules are right."""
    path = Path("a.play")
    with Bench(target) as bench:
        words = bench.vocabulary(GAME)
        try:
            played = script.parse(failure["script"].lstrip(), path, words)
        except ScriptError as error:
            return str(error)
        outcome = bench.run(played, GAME)
        assert outcome.code == FAIL
        add_near_misses(outcome, played, GAME, words)
        return "\n".join(report.lines(outcome))


def told_by_wrong_rules(failure, folder):
    """What `inlane replay` prints in a copy of the firmware with the mistake."""
    fault = faults.Fault(failure["name"], failure["kind"], failure["file"], failure["old"], failure["new"])
    faults.inject(fault, folder)
    (folder / "a.play").write_text(failure["script"].lstrip(), encoding="utf-8")
    environment = dict(os.environ, PYTHONPATH=os.pathsep.join((str(folder), str(faults.HOST))))
    command = [sys.executable, "-c", RUN, "replay", "a.play", "--game", "honey_flow"]
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == FAIL, done.stderr
    return done.stdout


def names_its_cause(failure, text):
    missing = [words for words in failure["told"] if words not in text]
    assert not missing, text
    assert len(text.splitlines()) <= report.SCREEN


def test_there_are_twenty_of_ten_kinds():
    assert len(FAILURES) == 20
    assert len({each["kind"] for each in FAILURES}) == 10


@pytest.mark.parametrize("failure", OF_SCRIPTS, ids=names(OF_SCRIPTS))
def test_a_wrong_script_is_told_by_its_cause(failure):
    names_its_cause(failure, told(failure))


@pytest.mark.slow
@pytest.mark.parametrize("failure", OF_RULES, ids=names(OF_RULES))
def test_a_wrong_rule_is_told_by_its_cause(failure, tmp_path):
    names_its_cause(failure, told_by_wrong_rules(failure, tmp_path))


@pytest.mark.slow
@pytest.mark.micropython
@pytest.mark.parametrize("failure", OF_SCRIPTS, ids=names(OF_SCRIPTS))
def test_the_story_is_the_same_on_micropython(failure):
    assert told(failure, "micropython").replace("on micropython", "on desk") == told(failure)
