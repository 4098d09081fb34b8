"""The session: what each expectation means in time, and what makes a run INVALID.

The machine here is a fake of a few lines: `inlane.left` lights `pollen` for 14 s and pulses a coil.
"""

from pathlib import Path
from types import SimpleNamespace

import pytest

from firmware.base import trace
from firmware.base.errors import LinkError
from hil.bench.names import Names, Row
from hil.bench.outcome import FAIL, INVALID, PASS
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.session import Session
from hil.bench.targets.target import MachineStopped

NAMES = Names(
    switches=("inlane.left", "orbit.right"),
    lamps=("pollen",),
    coils=("kickback", "hold"),
    cues=("warning",),
    awards=("pollen_run.value",),
    events=("game.started", "ball.started", "game.over"),
    rows=(Row("pollen_run", "dark", "inlane.left"), Row("pollen_run", "lit", "after")),
    states=("dark", "lit"),
    regions={"pollen_run": ("dark", "lit")},
    resting={"pollen_run": "dark"},
)
WORDS = Vocabulary(NAMES, debounce={"inlane.left": (4, 20), "orbit.right": (4, 20)})
WIRING = SimpleNamespace(
    COILS=(("kickback", "snap", 30, 50, 500, "drive 1"), ("hold", "flipper", -1, 0, 0, "drive 2")), BALLS=3
)


class FakeMachine:
    """Answers contacts 4 ms later; every planned record is (ms, kind, id, value)."""

    name = "fake"

    def __init__(self, pulse=30, rest=600):
        self.pulse = pulse
        self.rest = rest

    def start(self, seed, settings):
        self.now = 0
        self.trace = trace.Trace(4096)
        self.planned = []
        for kind, ident, value in ((trace.EVENT, 0, 1), (trace.EVENT, 1, 17)):
            self.plan(1, kind, ident, value)

    def plan(self, after, kind, ident, value):
        self.planned.append((self.now + after, len(self.planned), kind, ident, value))
        self.planned.sort()

    def contact(self, switch, closed):
        self.plan(4 if closed else 20, trace.EDGE, switch, int(closed))
        if closed and switch == 0:
            for after, kind, ident, value in (
                (4, trace.MOVE, 0, 1),
                (4, trace.LAMP, 0, 2),
                (4, trace.COIL, 0, self.pulse),
                (13_004, trace.LAMP, 0, 3),
                (13_004, trace.CUE, 0, 1),
                (14_004, trace.LAMP, 0, 0),
                (14_004, trace.MOVE, 1, 0),
            ):
                self.plan(after, kind, ident, value)
        elif closed:
            self.plan(4, trace.AWARD, 0, 30_000)

    def advance(self, until):
        while self.planned and self.planned[0][0] <= until:
            ms, _, kind, ident, value = self.planned.pop(0)
            self.trace.now = self.now = ms
            self.trace.add(kind, ident, value)
            if kind == trace.COIL and not (self.planned and self.planned[0][0] == ms):
                return ms
        self.now = until
        return until

    def records(self):
        out = bytearray(self.trace.held() * trace.RECORD)
        self.trace.take(out, 0, self.trace.held())
        return bytes(out)

    def finish(self):
        return self.trace.digest()

    def close(self):
        pass


def run(text, machine=None, **more):
    played = script.parse("balls moved\n" + text, Path("a.play"), WORDS)
    return Session(played, machine or FakeMachine(), WORDS, WIRING, **more).run()


def passes(text):
    outcome = run(text)
    assert outcome.problems == []
    assert outcome.code == PASS
    return outcome


def fails(text):
    outcome = run(text)
    assert outcome.code == FAIL
    return outcome.problems[0]


def test_expectation_holds_now_or_fails_now():
    passes("press inlane.left\nwait 4 ms\nexpect lamp pollen is blinking slow")
    problem = fails("press inlane.left\nwait 3 ms\nexpect lamp pollen is blinking slow")
    assert (problem.line, problem.at_ms) == (4, 3)
    assert problem.seen == "lamp pollen off since 0.000 s"


def test_within_lets_time_run_until_it_comes_true():
    outcome = passes("press inlane.left\nexpect lamp pollen is on within 15 s".replace("is on", "is lit"))
    assert outcome.simulated_ms == 4


def test_within_includes_its_last_millisecond_and_no_more():
    passes("press inlane.left\nwait 4 ms\nexpect lamp pollen is off within 14 s")
    problem = fails("press inlane.left\nwait 4 ms\nexpect lamp pollen is off within 13.999 s")
    assert problem.at_ms == 14_003
    assert problem.seen == "lamp pollen blinking fast since 13.004 s"


def test_stays_must_hold_at_every_instant():
    passes("press inlane.left\nwait 4 ms\nexpect lamp pollen stays lit for 13.999 s")
    problem = fails("press inlane.left\nwait 4 ms\nexpect lamp pollen stays lit for 20 s")
    assert problem.at_ms == 14_004


def test_stays_sees_a_flicker_that_is_over_at_the_end():
    assert fails("press inlane.left\nexpect lamp pollen stays off for 20 s").at_ms == 4


def test_happenings_count_since_the_last_action():
    passes("press inlane.left\nexpect cue warning played within 14 s\nexpect cue warning played")
    fails("press inlane.left\nexpect cue warning played within 14 s\nmark\nexpect cue warning played")


def test_what_must_not_happen_fails_when_it_happens():
    passes("press inlane.left\nexpect cue warning not played within 13 s")
    problem = fails("press inlane.left\nexpect cue warning not played within 14 s")
    assert problem.at_ms == 13_004
    assert problem.seen == "cue warning played 1 time, at 13.004 s"


def test_number_of_times_is_exact_and_taken_at_the_end():
    text = "tap inlane.left\nwait 1 s\ntap inlane.left\nmark\n"
    passes("tap inlane.left\nexpect coil kickback fired 1 time within 3 s")
    passes(text + "expect coil kickback not fired")
    fails("tap inlane.left\nexpect coil kickback fired 2 times within 3 s")


def test_gain_counts_from_the_mark_and_score_from_the_start():
    text = "tap orbit.right\nmark\ntap orbit.right\n"
    passes(
        text + "expect gain is 30,000\nexpect score is 60,000\nexpect score of player 1 is at least 60,000"
    )
    assert fails(text + "expect gain is 60,000").seen == "gain 30,000"


def test_wrong_points_are_told_with_those_that_were_paid():
    problem = fails("tap orbit.right\nexpect award pollen_run.value paid 60,000")
    assert problem.seen == "award pollen_run.value paid 30,000 instead of 60,000"


def test_state_is_where_the_region_rests():
    passes("press inlane.left\nwait 5 ms\nexpect state of pollen_run is lit")
    passes("press inlane.left\nwait 5 ms\nexpect state of pollen_run is dark within 15 s")


def test_coil_beyond_its_longest_on_time_fails_whatever_is_asserted():
    outcome = run("tap inlane.left", FakeMachine(pulse=51))
    assert outcome.code == FAIL
    assert outcome.problems[0].standing
    assert outcome.problems[0].expected == "coil kickback on for at most 50 ms"


def test_coil_without_its_rest_fails_whatever_is_asserted():
    outcome = run("tap inlane.left\nwait 400 ms\ntap inlane.left")
    assert [p.expected for p in outcome.problems] == ["coil kickback rests at least 500 ms"]
    passes("tap inlane.left\nwait 600 ms\ntap inlane.left")


def test_limit_of_simulated_time_fails_the_script():
    outcome = run("limit 20 s\npress inlane.left\nexpect lamp pollen is on within 1 min")
    assert outcome.code == FAIL
    assert outcome.problems[0].line == 4
    assert outcome.simulated_ms == 20_001


def test_same_script_has_the_same_hash_and_another_time_another():
    text = "press inlane.left\nwait {} ms\npress orbit.right\nwait 1 s"
    assert passes(text.format(100)).digest == passes(text.format(100)).digest
    assert passes(text.format(100)).digest != passes(text.format(101)).digest


class LyingMachine(FakeMachine):
    def finish(self):
        return bytes(32)


class CableCut(FakeMachine):
    def advance(self, until):
        if until > 5000:
            raise LinkError("the device fell silent for 5 s")
        return super().advance(until)


class BackInTime(FakeMachine):
    def advance(self, until):
        return super().advance(until) - 10 if until > 5000 else super().advance(until)


class Stuck(FakeMachine):
    def advance(self, until):
        return self.now


class OtherGame(FakeMachine):
    def start(self, seed, settings):
        super().start(seed, settings)
        self.plan(2, trace.LAMP, 7, 1)


class TornRecords(FakeMachine):
    def records(self):
        return super().records()[:-1]


@pytest.mark.parametrize(
    ("machine", "reason"),
    [
        (LyingMachine, "the machine says its trace hash is 0000000000000000…"),
        (CableCut, "the device fell silent for 5 s"),
        (BackInTime, "the machine's time goes back"),
        (Stuck, "the machine's time stands still at 0 ms"),
        (OtherGame, "the trace has lamp number 7, which this game does not have"),
        (TornRecords, "bytes of trace are not whole records of 12"),
    ],
)
def test_target_that_cannot_be_trusted_is_invalid_and_never_passes(machine, reason):
    outcome = run("press inlane.left\nwait 20 s", machine())
    assert outcome.code == INVALID
    assert outcome.verdict == "INVALID"
    assert reason in outcome.reason


def test_firmware_that_raises_fails_the_script_and_says_where():
    class Broken(FakeMachine):
        def advance(self, until):
            raise MachineStopped("it stopped at pot.py:12 in add: ZeroDivisionError: division by zero")

    outcome = run("wait 1 s", Broken())
    assert outcome.code == FAIL
    assert "pot.py:12" in outcome.problems[0].seen


def test_invalid_outranks_a_failed_expectation():
    assert run("expect lamp pollen is on", LyingMachine()).code == INVALID
