"""Rows 11, 12, 14, 15 and 19 at small counts, and that each of them can fail: a planted fault is reported."""

import pytest

from boards.unix.trials import soak
from boards.unix.trials.tally import Tally
from firmware.base.errors import UsageError
from firmware.devices.coils import Coils
from firmware.devices.switches import Switches
from hil import faults, micropython, reliability
from hil.faults import Fault
from hil.reliability import MICROPYTHON, PROCESS, tiers, trials

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


@pytest.mark.parametrize("tier", TIERS)
def test_no_save_is_made_while_a_coil_is_on(tier):
    result = reliability.run(11, 1_500, 1, tier)[2]
    assert result.passed, result
    assert result.counts["saves made"] > 50


def test_saving_beside_a_coil_fails_row_11(monkeypatch):
    monkeypatch.setattr(Coils, "quiet", lambda coils: True)
    assert "is on" in reliability.run(11, 1_500, 1)[2].wrong[0]


@needs_micropython
def test_saving_beside_a_coil_fails_row_11_under_micropython(tmp_path):
    old = "return not self._waiting and not self.core.driven(self._timers.now)"
    assert not planted(tmp_path, 11, 1_500, "firmware/devices/coils.py", old, "return True").passed


@needs_micropython
def test_nothing_is_allocated_in_the_hot_path():
    result = reliability.run(15, 10_000, 1, MICROPYTHON)[2]
    assert result.passed, result
    assert result.counts["steps of the console"] >= 1_000
    assert result.counts["coils fired by reflexes"] > 100


@needs_micropython
@pytest.mark.parametrize(
    ("file", "old"),
    [("firmware/devices/scan.py", "self.core.tick(now)"), ("firmware/console.py", "self.reflexes.renew()")],
)
def test_an_allocation_fails_row_15(tmp_path, file, old):
    result = planted(tmp_path, 15, 10_000, file, old, f"{old}; [self]")
    assert not result.passed
    assert "allocate" in result.wrong[0]


@needs_micropython
def test_both_pythons_leave_the_same_traces():
    result = reliability.run(16, 60, 1)[2]
    assert result.passed, result
    assert (result.ran, result.counts["different traces"]) == (60, 60)


@needs_micropython
def test_rules_that_differ_fail_row_16(tmp_path):
    fault = Fault("", "", "firmware/devices/switches.py", '("target", 4, 20)', '("target", 5, 20)')
    result = tiers.compare(60, 1, faults.plant(fault, tmp_path))
    assert result.ran == 60
    assert not result.passed


@needs_micropython
def test_a_process_that_ends_early_fails_row_16(tmp_path):
    fault = Fault("", "", "firmware/cabinet/match.py", '"""The match', 'raise ValueError\n"""The match')
    result = tiers.compare(5, 1, faults.plant(fault, tmp_path))
    assert result.failures >= 5
