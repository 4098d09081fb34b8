"""The engine against a plain transcription of appendix D of the Recommendation, on random charts.

A small count here; `inlane measure charts-random` runs any number. At seed 2719 the two part: the
engine's internal queue holds 32 events and counts what it drops, the transcription's has no end.
"""

import pytest
import random_charts

STEPS = 25


@pytest.mark.parametrize("first", range(0, 200, 20))
def test_random_charts_go_exactly_as_appendix_d(first: int) -> None:
    differences = [random_charts.difference(seed, STEPS) for seed in range(first, first + 20)]
    assert not any(differences), next(filter(None, differences))


def test_a_queue_that_overflows_is_the_known_difference() -> None:
    assert random_charts.difference(2719, STEPS)
