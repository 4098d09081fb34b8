"""The engine against a plain transcription of appendix D of the Recommendation, on random charts.

A small count here; `inlane measure charts-random` runs any number.
"""

from collections import Counter

import pytest
import random_charts

STEPS = 25
KINDS = (
    "shallow histories entered, recalled",
    "deep histories entered, recalled",
    "shallow histories entered, by default",
    "deep histories entered, by default",
    "guards that held",
    "guards that did not hold",
    "eventless transitions",
    "final states entered",
    "transitions on a done event",
    "transitions on error.execution",
    "transitions with two targets",
    "transitions removed by a conflict",
    "microsteps with several transitions",
    "targetless transitions",
    "internal ones into a child",
    "external ones into a child",
)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("first", range(0, 200, 20))
def test_random_charts_go_exactly_as_appendix_d(first: int) -> None:
    tally: Counter[str] = Counter()
    differences = [random_charts.difference(seed, STEPS, tally) for seed in range(first, first + 20)]
    assert not any(differences), next(filter(None, differences))
    assert tally["events compared"] >= 15 * STEPS


def test_every_kind_of_thing_comes_up_in_random_charts() -> None:
    tally: Counter[str] = Counter()
    for seed in range(80):
        random_charts.difference(seed, STEPS, tally)
    assert [kind for kind in KINDS if not tally[kind]] == []


def test_a_chart_that_raises_more_events_than_most_needs_more_room(monkeypatch: pytest.MonkeyPatch) -> None:
    assert random_charts.difference(2719, STEPS) == ""
    monkeypatch.setattr(random_charts, "ROOM", 32)
    assert "events found the engine's queue full" in random_charts.difference(2719, STEPS)


def test_a_difference_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    told = random_charts.reference.Interpreter.microstep
    monkeypatch.setattr(
        random_charts.reference.Interpreter, "microstep", lambda self, enabled: told(self, enabled[:1])
    )
    assert any(random_charts.difference(seed, STEPS) for seed in range(20))
