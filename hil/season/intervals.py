"""Intervals of 95 %: of a share, a mean, a ratio of sums, a quantile; and by resampling."""

import math
import random
from collections.abc import Callable, Sequence
from statistics import NormalDist, fmean
from typing import NamedTuple

Z = NormalDist().inv_cdf(0.975)
RESAMPLES = 2_000
SEED = 1  # of the resampling, so that a report can be repeated
TAIL = 0.025


class Interval(NamedTuple):
    """An estimate with the limits of its 95 % interval."""

    value: float
    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a value is inside."""
        return self.low <= value <= self.high

    @property
    def excludes_zero(self) -> bool:
        """Whether a difference is more than chance."""
        return not self.holds(0.0)


def share(count: int, of: int) -> Interval:
    """A share by Wilson's score interval (1927). Without any case: 0 to 1.

    Raises ValueError when the count is negative or more than `of`.
    """
    if not 0 <= count <= of:
        raise ValueError(f"{count} of {of} is no share")
    if not of:
        return Interval(0.0, 0.0, 1.0)
    p, spread = count / of, Z * Z / of
    middle = (p + spread / 2) / (1 + spread)
    half = math.sqrt(p * (1 - p) * spread + spread * spread / 4) / (1 + spread)
    low = middle - half if count else 0.0
    return Interval(p, max(0.0, low), min(1.0, middle + half) if count < of else 1.0)


def mean(values: Sequence[float]) -> Interval:
    """A mean of independent values, by the normal law; of fewer than two without limits."""
    return ratio([(value, 1.0) for value in values])


def ratio(pairs: Sequence[tuple[float, float]], least: float = -math.inf) -> Interval:
    """The sum of first values over the sum of second ones, of independent pairs (linearised).

    `least`: what the ratio cannot be below. Without a second value: 0 without limits.
    """
    whole = math.fsum(below for _, below in pairs)
    if not whole:
        return Interval(0.0, -math.inf, math.inf)
    value = math.fsum(above for above, _ in pairs) / whole
    if len(pairs) < 2:
        return Interval(value, -math.inf, math.inf)
    squares = math.fsum((above - value * below) ** 2 for above, below in pairs)
    half = Z * math.sqrt(squares * len(pairs) / (len(pairs) - 1)) / abs(whole)
    return Interval(value, max(least, value - half), value + half)


def resampled(
    values: Sequence[float], of: Callable[[Sequence[float]], float] = fmean, resamples: int = RESAMPLES
) -> Interval:
    """Any figure of independent values, percentile bootstrap (Efron 1979). Raises ValueError: no values."""
    if not values:
        raise ValueError("there is nothing to resample")
    chance = random.Random(SEED)
    found = sorted(of(chance.choices(values, k=len(values))) for _ in range(resamples))
    last = resamples - 1
    return Interval(of(values), found[round(TAIL * last)], found[round((1 - TAIL) * last)])


def quantile(ordered: Sequence[float], part: float) -> Interval:
    """The quantile at `part` of sorted values, between the order statistics of a binomial count.

    Raises ValueError: no values.
    """
    if not ordered:
        raise ValueError("there is no quantile of nothing")
    count, last = len(ordered), len(ordered) - 1
    half = Z * math.sqrt(count * part * (1 - part))
    places = (part * count, part * count - half, part * count + half)
    return Interval(*(ordered[min(last, max(0, round(place - 0.5)))] for place in places))
