"""Rows 1 to 4 of the reliability table, with small counts, under both Pythons."""

import pytest

from hil.benchmarks import reliability

TIERS = [
    reliability.PROCESS,
    pytest.param(reliability.MICROPYTHON, marks=pytest.mark.micropython),
]


@pytest.mark.parametrize("tier", TIERS)
@pytest.mark.parametrize("row", [1, 2])
def test_the_store_survives(row, tier):
    _, _, result = reliability.run(row, 1500, 5, tier)
    assert result.passed, result.wrong
    assert result.ran >= 1500


@pytest.mark.parametrize("tier", TIERS)
def test_the_naive_store_is_reported_as_losing_data(tier):
    _, _, result = reliability.run(3, 400, 5, tier)
    assert result.passed
    assert result.counts["saves lost by the naive store"] > 100


@pytest.mark.slow
def test_damage_is_seen_and_said():
    _, _, result = reliability.run(4, 500, 5)
    assert result.passed, result.wrong
    assert result.counts["bits flipped"] == 3 * 4 * 512 * 8


@pytest.mark.micropython
def test_both_pythons_make_the_same_trials():
    here = reliability.run(1, 600, 9, reliability.PROCESS)[2]
    there = reliability.run(1, 600, 9, reliability.MICROPYTHON)[2]
    assert (here.ran, here.counts) == (there.ran, there.counts)
