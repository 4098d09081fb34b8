"""The reference circuit in ngspice: what must be off, by when, whatever fails."""

import os
import shutil
from concurrent.futures import ThreadPoolExecutor

import pytest

from hil.electrical.circuit import runs
from hil.electrical.circuit.fault_runs import FAULT, Must, Run, feed, judge
from hil.electrical.circuit.parts import resistor
from hil.electrical.circuit.sheets import circuit

pytestmark = [
    pytest.mark.skipif(not shutil.which("ngspice"), reason="there is no 'ngspice' command (Debian: ngspice)"),
    pytest.mark.slow,
]
RUNS = [*runs.usual_runs(), *runs.fault_runs()]
SINGLE = runs.single_faults()


@pytest.fixture(scope="module")
def whole():
    return circuit()


@pytest.fixture(scope="module")
def verdicts(whole, request):
    """By name of a run its verdict to come: ngspice runs once a core, for the chosen tests alone."""
    params = [item.callspec.params for item in request.session.items if hasattr(item, "callspec")]
    chosen = {one["run"].name: one["run"] for one in params if isinstance(one.get("run"), Run)}
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        yield {name: pool.submit(judge, run, whole) for name, run in chosen.items()}


@pytest.mark.parametrize("run", RUNS, ids=[run.name for run in RUNS])
def test_what_must_be_off_is_off(verdicts, run):
    assert verdicts[run.name].result() == []


@pytest.mark.parametrize("run", SINGLE, ids=[run.name for run in SINGLE])
def test_one_part_of_the_guard_may_fail(verdicts, run):
    assert verdicts[run.name].result() == []


def _named(name):
    return next(run for run in RUNS if run.name == name)


def _own_pull_up(c):
    return c.changed("U103", value="supervisor 4.5 V, pull-up 5 kΩ")


PLANTED = [
    # an error of one change, the run that finds it, words of the sentence
    ("a supervisor with a pull-up", _own_pull_up, "door: wire of the reset pole broken", "reset line is low"),
    ("the old divider", lambda c: c.changed("R3017", size=15e3), "coil bus at 12 V", "idle drain reads high"),
    (
        "a source past the shunt",
        lambda c: c.moved("Q301", "S", "0V"),
        "coil bus at 48 V",
        "shunt sees the coil",
    ),
    (
        "a one-shot of ten times the time",
        lambda c: c.changed("R103", size=680e3),
        "both feeds stuck low",
        "drive 1 off",
    ),
    (
        "a slow supply guard",
        lambda c: c.changed("R109", size=1.5e6),
        "the supply's feed stuck",
        "coil supply off",
    ),
    (
        "no shunt regulator",
        lambda c: c.without("Q701"),
        "a wire of a direct input on the coil bus",
        "Pico's supply",
    ),
    ("a link for the on-time stage", runs.unlimited, "coil bus at 48 V", "pulse ends by itself"),
    (
        "a suppressor for a clamp of a held drive",
        lambda c: c.changed("D4251", kind="suppressor"),
        "a drive held by PWM, later stuck on",
        "it is held",
    ),
    ("the enable tied low", lambda c: c.moved("U801", "/OE", "0V"), "both feeds stuck high", "drive 1 off"),
    ("no supervisor", lambda c: c.without("U103"), "5 V falls and comes back", "no drive below 4.3 V"),
]


@pytest.mark.parametrize("row", PLANTED, ids=[row[0] for row in PLANTED])
def test_a_planted_error_is_found_by_a_run(whole, row):
    _name, change, run, words = row
    found = judge(_named(run), change(whole))
    assert any(words in sentence for sentence in found), found


def test_two_faults_at_once_are_too_many_and_are_seen(whole):
    def spoil(c):
        return runs.unlimited(c).added(
            resistor("RF1", 0.01, "/ENABLE", "0V"), resistor("RF2", 0.01, "FUSED", "COIL_BUS")
        )

    stops = {"says_guard_feed": feed(FAULT), "says_supply_feed": feed(FAULT)}
    still = Must("coil off", "i(lL301)", 0.1, FAULT + 0.17)
    assert judge(Run("two faults", (still,), spoil, stops), whole)


def test_the_count_in_prose_is_that_of_the_tests():
    from pathlib import Path

    import boards

    guard = (Path(boards.__path__[0]) / "pico_matrix" / "guard.md").read_text(encoding="utf-8")
    assert f"{len(PLANTED)} for the runs" in guard
