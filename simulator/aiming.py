"""What becomes of a shot that a player aims by time: a map of shots and a normal error of the timing."""

import math
from collections.abc import Sequence
from typing import NamedTuple

NOTHING = ""  # the ball comes back and has met nothing
WHOLE = 10_000  # all weights of a draw together


class Stretch(NamedTuple):
    """Timings in a row of one flipper with the same end, in ms since the ball began to roll along the bat.

    `ball`: how it came; `drops`: how drop targets were before. `shot`: which shot it is, NOTHING for none;
    `is_made`: not one that rolled back or drained.
    """

    flipper: str
    ball: str
    drops: str
    from_ms: float
    to_ms: float
    shot: str
    is_made: bool


Odds = tuple[tuple[str, int], ...]


def chances(stretches: Sequence[Stretch], shot: str, spread_ms: float) -> dict[str, float]:
    """What a ball does that is aimed at a shot, with its chance; {} when no flipper makes that shot.

    The player aims at the middle of the widest stretch that any flipper has for it, with a normal error of
    standard deviation `spread_ms`. Each way in which a ball comes and each state of the drop targets counts
    alike, where the shot can be made then. A flip before the first timing counts as the first one, a flip
    after the last timing as the last one.
    """
    found: dict[str, float] = {}
    aimed = _aimed(stretches, shot)
    for aim in aimed:
        row = sorted((one for one in stretches if one[:3] == aim[:3]), key=lambda one: one.from_ms)
        for what, chance in _ends(row, (aim.from_ms + aim.to_ms) / 2, spread_ms):
            found[what] = found.get(what, 0.0) + chance / len(aimed)
    return found


def _aimed(stretches: Sequence[Stretch], shot: str) -> list[Stretch]:
    """The widest stretch of a shot for each way in which a ball comes and each state of the drop targets."""
    widest: dict[tuple[str, str], Stretch] = {}
    for one in stretches:
        if one.is_made and one.shot == shot:
            case = one.ball, one.drops
            before = widest.get(case)
            if before is None or one.to_ms - one.from_ms > before.to_ms - before.from_ms:
                widest[case] = one
    return list(widest.values())


def _ends(row: Sequence[Stretch], middle: float, spread_ms: float) -> list[tuple[str, float]]:
    """Each stretch's share of a normal distribution about `middle`; what lies in none is NOTHING."""
    ends = [(one.shot, one.from_ms - middle, one.to_ms - middle) for one in row]
    ends[0] = ends[0][0], -math.inf, ends[0][2]
    ends[-1] = ends[-1][0], ends[-1][1], math.inf
    shares = [(shot, below(to / spread_ms) - below(start / spread_ms)) for shot, start, to in ends]
    return [*shares, (NOTHING, max(0.0, 1 - sum(share for _, share in shares)))]


def below(deviations: float) -> float:
    """The part of a normal distribution below so many standard deviations (Abramowitz, Stegun, 26.2)."""
    return (1 + math.erf(deviations / math.sqrt(2))) / 2


class Timing:
    """A player's timing on a map of shots; `spread_ms`: the standard deviation of the error."""

    def __init__(self, stretches: Sequence[Stretch], spread_ms: float) -> None:
        self._stretches = tuple(stretches)
        self._spread_ms = spread_ms
        self._kept: dict[tuple[str, bool], Odds] = {}
        self._known = {one.shot for one in stretches}

    def odds(self, shot: str, from_rest: bool = False) -> Odds:
        """The shots that a ball aimed at `shot` makes, with weights; () when the map has no window for it.

        `from_rest`: half the spread. A ball that meets nothing is shot again.
        """
        key = shot, from_rest
        if key not in self._kept:
            spread = self._spread_ms / 2 if from_rest else self._spread_ms
            found = chances(self._stretches, shot, spread)
            found.pop(NOTHING, None)
            self._kept[key] = weights(found)
        return self._kept[key]

    def missed(self, odds: Sequence[tuple[str, int]], ends: Sequence[str]) -> Odds:
        """Odds that say what is aimed at, as odds of what is made.

        Those in `ends`, which end a ball, and what the map lacks stay as they are. What a map has as a miss
        alone is aimed at by nobody.
        """
        made: dict[str, float] = {}
        for shot, weight in odds:
            aimed = shot in self._known and shot not in ends
            shares = self.odds(shot) if aimed else ((shot, WHOLE),)
            for what, share in shares:
                made[what] = made.get(what, 0.0) + weight * share
        return weights(made)


def weights(shares: dict[str, float]) -> Odds:
    """Whole weights, WHOLE together, nearest to shares; () of none."""
    whole = sum(shares.values())
    if not whole:
        return ()
    exact = {name: WHOLE * share / whole for name, share in shares.items()}
    given = {name: int(value) for name, value in exact.items()}
    for name in sorted(exact, key=lambda name: given[name] - exact[name])[: WHOLE - sum(given.values())]:
        given[name] += 1
    return tuple((name, weight) for name, weight in given.items() if weight)
