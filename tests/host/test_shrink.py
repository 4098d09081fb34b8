"""Shrinking: what is kept fails in the same way, not in another one."""

import subprocess
import sys

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.bench.failure import STANDING, Failure, failure_of, features_of
from hil.bench.outcome import FAIL, Outcome, Problem
from hil.bench.shrink import contents, shrunk_script
from hil.command.replay import Bench
from hil.command.shrink import shrink, shrink_file

GAME = games.load("honey_flow")
FAILING = """# The right orbit pays more than it should.
title   Two bumpers before the inlane
covers  pollen_run
seed 4
start 2 players
launch
tap smoker.1
expect award small.standup paid
tap meadow.1
tap inlane.left
expect lamp pollen is lit
wait 2 s
tap spinner 3 times
shoot right_orbit
expect award pollen_run.collected paid 30,000
expect lamp pollen is off
"""


def failure(text, features=("pollen_run",)):
    with Bench("desk") as bench:
        from hil.bench.scripts import script

        parsed = script.parse(text, GAME.scripts / "none.play", bench.vocabulary(GAME))
        return failure_of(bench.run(parsed, GAME), features)


def test_the_smallest_script_fails_by_the_same_expectation_in_the_same_state(tmp_path):
    path, goal = tmp_path / "seen.play", tmp_path / "small.play"
    path.write_text(FAILING)
    told = shrink_file(path, goal, GAME)
    kept = contents(goal.read_text())
    assert len(kept) == 6
    assert "15 lines became 6" in told
    assert failure("\n".join(kept)) == failure(FAILING)
    for at in range(len(kept)):
        rest = kept[:at] + kept[at + 1 :]
        with Bench("desk"):
            assert not fails_so("\n".join(rest), failure(FAILING)), kept[at]


def fails_so(text, wanted):
    from firmware.base.errors import ScriptError

    try:
        return failure(text) == wanted
    except ScriptError:
        return False


def test_an_expectation_that_fails_for_another_reason_is_another_failure():
    """A lamp that is dark because nothing was shot at is not the lamp that went dark too early."""
    early = "start 1 player\nlaunch\ntap inlane.left\nwait 15 s\nexpect lamp pollen is lit\n"
    never = "wait 15 s\nexpect lamp pollen is lit\n"
    assert failure(early).expected == failure(never).expected
    assert failure(early).seen == failure(never).seen
    assert failure(early) != failure(never)


def test_what_led_to_it_is_of_the_features_that_the_script_is_about():
    own = ("pollen_run", "smoker_bank")
    assert features_of("award pollen_run.collected paid 5", ("tilt",), own) == ("tilt",)
    assert features_of("award pollen_run.collected paid 5", (), own) == ["pollen_run"]
    assert features_of("lamp pollen is off", (), own) == own


def test_numbers_of_a_standing_check_do_not_count():
    def outcome(score):
        problem = Problem(0, f"the display shows the ledger's {score}", "0", 5, standing=True)
        return Outcome("a", "", (), "desk", FAIL, [problem])

    assert failure_of(outcome("1,230")) == failure_of(outcome("40"))
    assert failure_of(outcome("1,230")).expected.startswith(STANDING)


def test_a_run_that_passes_has_no_failure():
    assert failure_of(Outcome("a", "", (), "desk")) is None


def test_what_follows_the_failing_line_is_removed_in_one_run():
    asked = []

    def holds(lines):
        asked.append(lines)
        return "expect x" in lines and "b" in lines

    assert shrunk_script(["title a", "b", "expect y", "expect x", "c"], "expect x", holds) == [
        "b",
        "expect x",
    ]
    assert asked[0] == ["title a", "b", "expect y", "expect x"]
    assert asked[1] == ["b", "expect x"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("start 1 player\nlaunch\n", "there is nothing to shrink: the script ends with PASS"),
        (None, "there is no such script"),
    ],
)
def test_what_cannot_be_shrunk_is_refused(tmp_path, text, said):
    path = tmp_path / "a.play"
    if text is not None:
        path.write_text(text)
    with pytest.raises(UsageError, match=said):
        shrink(path, None, "honey_flow", None)


def test_a_file_that_is_there_is_not_overwritten(tmp_path):
    path = tmp_path / "a.play"
    path.write_text(FAILING)
    (tmp_path / "a_small.play").write_text("")
    with pytest.raises(UsageError, match="would overwrite"):
        shrink(path, None, "honey_flow", None)


def test_the_command_writes_beside_the_script(tmp_path):
    path = tmp_path / "a.play"
    path.write_text("start 1 player\nlaunch\ntap smoker.1\nexpect award small.standup not paid\n")
    words = ["shrink", str(path), "--game", "honey_flow"]
    ran = subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", *words], capture_output=True, text=True
    )
    assert ran.returncode == 0, ran.stderr
    assert contents((tmp_path / "a_small.play").read_text())[-1] == "expect award small.standup not paid"


def test_failures_are_compared_by_all_they_hold():
    assert Failure("a", "b") != Failure("a", "c")
    assert Failure("a", "b", ("x",)) != Failure("a", "b")
