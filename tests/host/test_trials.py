"""Rows 11, 12, 14, 15 and 19 at small counts, and that each of them can fail: a planted fault is reported."""

import pytest

from boards.unix.trials import soak
from boards.unix.trials.tally import Tally
from firmware.base.errors import UsageError
from firmware.devices.switches import Switches
from hil import faults, micropython, reliability
from hil.faults import Fault
from hil.reliability import MICROPYTHON, PROCESS, trials

try:
    micropython.find()
    MISSING = ""
except UsageError as error:
    MISSING = str(error)

needs_micropython = pytest.mark.skipif(bool(MISSING), reason=MISSING)
TIERS = [PROCESS, pytest.param(MICROPYTHON, marks=needs_micropython)]


def planted(tmp_path, row, count, file, old, new):
    """A row under MicroPython, on firmware with one change."""
    return trials.there(row, count, 1, faults.plant(Fault("", "", file, old, new), tmp_path))


@pytest.mark.parametrize("tier", TIERS)
def test_traces_are_the_same_when_the_clock_wraps(tier):
    result = reliability.run(12, 40, 1, tier)[2]
    assert result.passed, result
    assert result.counts["wraps of the clock"] == 32
    assert result.counts["coil commands"] > 40


def test_debounce_that_does_not_wrap_fails_row_12(monkeypatch):
    def early(self, now):
        waiting = [i for i in range(self.count) if self._waiting[i] and self._due[i] <= now]
        if not waiting:
            return -1
        self._settle(waiting[0])
        self.closed[waiting[0]] = self.raw[waiting[0]]
        return waiting[0]

    monkeypatch.setattr(Switches, "pop", early)
    assert not reliability.run(12, 20, 1)[2].passed


@needs_micropython
def test_debounce_that_does_not_wrap_fails_row_12_under_micropython(tmp_path):
    file = "firmware/devices/switches.py"
    old = "if self._waiting[switch] and ticks.diff(self._due[switch], now) <= 0:"
    new = "if self._waiting[switch] and self._due[switch] <= now:"
    assert not planted(tmp_path, 12, 20, file, old, new).passed


@needs_micropython
def test_heap_does_not_grow_over_a_soak():
    result = reliability.run(14, 1, 1, MICROPYTHON)[2]
    assert result.passed, result
    assert result.ran > 10_000


@needs_micropython
def test_a_chain_that_grows_fails_row_14(tmp_path):
    old = "        self.count += 1\n"
    new = old + "        if kind == COIL:\n            self.chain = (getattr(self, 'chain', 0), 1)\n"
    assert not planted(tmp_path, 14, 1, "firmware/base/trace.py", old, new).passed


def test_a_heap_that_grows_late_is_seen():
    tally = Tally()
    soak.judge(tally, [1000, 1010, 1000, 1010, 1020, 4000])
    assert tally.failures == 1
