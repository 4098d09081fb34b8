"""Rows 8 and 10 at small counts, and that each of them can fail: a planted fault is reported."""

import pytest

from boards.unix.pins import PinBoard
from firmware.base import ticks
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter
from hil.bench import faults
from hil.bench.faults import Fault
from hil.benchmarks import reliability
from hil.benchmarks.reliability import MICROPYTHON, PROCESS, trials

TIERS = [PROCESS, pytest.param(MICROPYTHON, marks=pytest.mark.micropython)]
LIMITER = "firmware/devices/native/limiter.py"


def planted(tmp_path, row, count, file, old, new):
    """A row under MicroPython, on firmware with one change."""
    return trials.there(row, count, 1, faults.inject(Fault("", "", file, old, new), tmp_path))


@pytest.mark.parametrize("tier", TIERS)
def test_no_drive_is_over_its_limits_in_a_storm(tier):
    result = reliability.run(8, 1_500, 1, tier)[2]
    assert result.passed, result
    assert result.ran >= 1_500
    assert result.counts["fired"] > 100
    assert result.counts.get("compared: ms", 0) == (1_500 if tier == PROCESS else 0)


@pytest.mark.micropython
@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("                    why = _HOT\n", "                    why = 0\n", "hot, it bears"),
        (
            "((a[row + _END] - now) & _MASK ^ _HALF) - _HALF\n                if left <= 0",
            "((a[row + _END] - now) & _MASK ^ _HALF) - _HALF\n                if left <= -25",
            "was on for",
        ),
        ("                why = _SUPPLY_TAKEN\n", "                why = 0\n", "mA at once"),
    ],
)
def test_a_limit_that_does_not_hold_fails_row_8(tmp_path, old, new, words):
    result = planted(tmp_path, 8, 6_000, LIMITER, old, new)
    assert any(words in said for said in result.wrong), result


def test_a_difference_from_the_reference_model_fails_row_8(monkeypatch):
    monkeypatch.setattr(CoilLimiter, "renew", lambda limiter, armed, now: None)
    assert "the shipped code gave" in reliability.run(8, 1_000, 1)[2].wrong[-1]


@pytest.mark.parametrize("tier", TIERS)
def test_everything_is_off_wherever_it_is_stopped(tier):
    result = reliability.run(10, 40, 1, tier)[2]
    assert result.passed, result
    assert result.counts["Ctrl-C twice"] >= 8
    assert result.counts.get("full heap", 0) == (8 if tier == MICROPYTHON else 0)
    assert result.counts["stalls with a coil on"] > 0


def test_pins_that_are_not_released_fail_row_10(monkeypatch):
    monkeypatch.setattr(PinBoard, "_release_all", lambda pins: None)
    result = reliability.run(10, 8, 1)[2]
    assert "are on" in result.wrong[0]


def test_a_lease_that_never_ends_fails_row_10(monkeypatch):
    def renew(core, armed, now):
        core.state[limiter.LEASE_END] = ticks.add(now, 1 << 20)
        core.state[limiter.ARMED] = 1

    monkeypatch.setattr(limiter, "_LEASE_MS", 1 << 20)
    monkeypatch.setattr(CoilLimiter, "renew", renew)
    result = reliability.run(10, 40, 1)[2]
    assert "after the lease" in result.wrong[0]


@pytest.mark.micropython
def test_a_device_that_does_not_switch_off_fails_row_10(tmp_path):
    old = "        self.board.all_off(reason)\n"
    assert not planted(tmp_path, 10, 20, "firmware/link/device.py", old, "        pass\n").passed
