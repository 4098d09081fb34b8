"""A search over several settings: how near each try came, and how sure it is which one is the nearest."""

import math
import random
from collections.abc import Sequence
from statistics import fmean
from typing import NamedTuple

from hil.season.intervals import SEED, TAIL
from hil.season.measures import Goal

RESAMPLES = 400
GROUPS = 200  # of more games so many groups are resampled
Settings = tuple[tuple[str, int], ...]


class Try(NamedTuple):
    """Values of the settings, and for each goal its measure in each game; all tries have the same seeds."""

    settings: Settings
    measured: tuple[Sequence[float], ...]

    def means(self) -> list[float]:
        """The mean of each measure."""
        return [fmean(values) for values in self.measured]


class Ranked(NamedTuple):
    """A try with its distance, and how often it would have been the nearest had other games been drawn."""

    tried: Try
    distance: float
    nearest: float


def distance(goals: Sequence[Goal], means: Sequence[float]) -> float:
    """How far measures are from what is wanted, in parts of it: 0.02 is 2 % of one goal."""
    return math.hypot(*(mean / goal.value - 1 for goal, mean in zip(goals, means, strict=True)))


def ranked(goals: Sequence[Goal], tries: Sequence[Try], resamples: int = RESAMPLES) -> list[Ranked]:
    """Tries from the nearest on; games are resampled by seeds, the same ones for each try (bootstrap)."""
    wins = [0.0] * len(tries)
    grouped = [[_grouped(values) for values in one.measured] for one in tries]
    groups = range(len(grouped[0][0]))
    chance = random.Random(SEED)
    for _ in range(resamples):
        drawn = chance.choices(groups, k=len(groups))
        far = [distance(goals, [fmean([row[at] for at in drawn]) for row in rows]) for rows in grouped]
        least = min(far)
        for at, one in enumerate(far):
            wins[at] += (one == least) / far.count(least)  # what has no effect comes equally near
    found = [
        Ranked(one, distance(goals, one.means()), won / resamples)
        for one, won in zip(tries, wins, strict=True)
    ]
    return sorted(found, key=lambda one: one.distance)


def _grouped(values: Sequence[float]) -> list[float]:
    """The values, or the means of GROUPS groups of them."""
    if len(values) <= GROUPS:
        return list(values)
    return [fmean(values[first::GROUPS]) for first in range(GROUPS)]


def reach(found: Sequence[Ranked], name: str) -> tuple[int, int]:
    """From where to where a setting lies in 95 % of the resampled searches."""
    values = sorted((dict(one.tried.settings)[name], one.nearest) for one in found)
    below = 0.0
    low = high = values[0][0]
    for value, part in values:
        if below <= TAIL:
            low = value
        if below < 1 - TAIL:
            high = value
        below += part
    return low, high
