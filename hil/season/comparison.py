"""Differences between seasons of the same seeds: games are paired, so that what both share cancels out."""

from typing import NamedTuple

from hil.season import intervals
from hil.season.intervals import Interval
from hil.season.measures import MEASURES, Measured


class Difference(NamedTuple):
    """One measure in two seasons. `unpaired` is how wide the interval would be with seeds of their own."""

    measure: str
    unit: str
    before: Interval
    after: Interval
    difference: Interval
    unpaired: float

    @property
    def is_sure(self) -> bool:
        """Whether the difference is more than chance."""
        return self.difference.excludes_zero and self.difference.value != 0


def compare(before: Measured, after: Measured) -> tuple[Difference, ...]:
    """Every measure's difference. Raises ValueError: other seeds."""
    if before.by_seed.keys() != after.by_seed.keys():
        raise ValueError("games are paired by their seeds, which differ")
    return tuple(_compare(measure.name, measure.unit, before, after) for measure in MEASURES)


def _compare(name: str, unit: str, before: Measured, after: Measured) -> Difference:
    ours, theirs = before.values(name), after.values(name)
    one, other = intervals.mean(ours), intervals.mean(theirs)
    change = intervals.mean([b - a for a, b in zip(ours, theirs, strict=True)])
    apart = ((one.high - one.low) ** 2 + (other.high - other.low) ** 2) ** 0.5
    return Difference(name, unit, one, other, change, apart)
