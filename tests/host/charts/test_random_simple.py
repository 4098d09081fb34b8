"""The engine beside PyPI `transitions` in the zones where the two agree; random_simple.py says which.

A small count here; `inlane measure charts-random --against transitions` runs any number.
"""

from collections import Counter

import pytest

random_simple = pytest.importorskip("random_simple", reason="needs the library transitions")
STEPS = 25


@pytest.mark.parametrize("zone", [1, 2])
def test_the_library_does_the_same_in_its_zones(zone: int) -> None:
    tally: Counter[str] = Counter()
    differences = [random_simple.difference(zone, seed, STEPS, tally) for seed in range(60)]
    assert not any(differences), next(filter(None, differences))
    assert tally["events that moved something"] > tally["events compared"] // 3


def test_zone_2_is_about_regions() -> None:
    tally: Counter[str] = Counter()
    for seed in range(20):
        random_simple.difference(2, seed, STEPS, tally)
    assert tally["charts with parallel states"] == 20
    assert tally["of these in a region of a parallel state"] > 50


def test_a_difference_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(random_simple.Library, "configuration", lambda self: ["r", "elsewhere"])
    assert "expected ['r', 'elsewhere']" in random_simple.difference(1, 0, STEPS, Counter())
