"""Wrap-safe time. The rules are those of MicroPython's `time` documentation for a period of 2^30."""

from firmware.base import ticks

LAST = 0x3FFFFFFF


def test_adding_wraps_at_the_period():
    assert ticks.add(LAST, 1) == 0
    assert ticks.add(LAST, 100) == 99
    assert ticks.add(0, -1) == LAST


def test_difference_is_right_across_the_wrap():
    assert ticks.diff(5, LAST - 4) == 10
    assert ticks.diff(LAST - 4, 5) == -10
    assert ticks.diff(7, 7) == 0


def test_difference_reaches_from_minus_half_to_half():
    assert ticks.diff(ticks.HALF - 1, 0) == ticks.HALF - 1
    assert ticks.diff(ticks.HALF, 0) == -ticks.HALF
