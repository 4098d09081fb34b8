"""Fuses: what their standards promise, and whether a coil locked on opens one before it burns."""

from collections.abc import Callable
from dataclasses import dataclass

from firmware.base.errors import UsageError

RATINGS = (0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0)


@dataclass(frozen=True)
class Kind:
    """Gates (times its rating, seconds at least, seconds at most) and what it carries for ever."""

    name: str
    carries: float
    gates: tuple[tuple[float, float, float], ...]
    source: str


FAST = Kind(
    "fast",
    1.5,
    ((2.1, 0.0, 1800.0), (2.75, 0.050, 2.0), (4.0, 0.010, 0.3), (10.0, 0.0, 0.020)),
    "IEC 60127 fast-acting, 125 mA to 10 A (read on a secondary page)",
)
SLOW = Kind(
    "slow",
    1.5,
    ((2.1, 0.0, 120.0), (2.75, 0.6, 10.0), (4.0, 0.150, 3.0), (10.0, 0.020, 0.3)),
    "IEC 60127 time-lag, 125 mA to 6.3 A (from memory: see the maker's sheet)",
)
UL = Kind(
    "ul",
    1.0,
    ((1.35, 0.0, 3600.0), (2.0, 0.0, 120.0)),
    "UL 248-14: 135 % within an hour, 200 % within two minutes (read on a secondary page)",
)
KINDS = {kind.name: kind for kind in (FAST, SLOW, UL)}


@dataclass(frozen=True)
class Fuse:
    """A fuse by kind and rated amperes."""

    kind: Kind
    amperes: float

    def __str__(self) -> str:
        return f"{self.amperes:g} A {self.kind.name}"

    def opens_within(self, current: float) -> float | None:
        """Seconds after which it surely has opened, or None when nothing is promised."""
        found = None
        for times, _least, most in self.kind.gates:
            if current >= times * self.amperes * (1 - 1e-9):
                found = most
        return found

    def surely_bears(self) -> float:
        """A²s of one pulse it surely survives: the least over its gates with a least time; 0 unknown."""
        sure = [(times * self.amperes) ** 2 * least for times, least, _most in self.kind.gates if least]
        return min(sure, default=0.0)


def parse(text: str) -> Fuse:
    """ "3.15 fast", "2 slow" or "5 ul". Raises UsageError."""
    words = text.split()
    try:
        return Fuse(KINDS[words[1].lower()], float(words[0]))
    except (IndexError, KeyError, ValueError):
        raise UsageError(
            f"fuse '{text}' is not understood: give amperes and kind, such as '2 slow', '3.15 fast' or '5 ul'"
        ) from None


def opening(fuse: Fuse, current_after: Callable[[float], float]) -> float | None:
    """Seconds by which a falling current surely has opened `fuse`, or None.

    `current_after(seconds)` is the least current at that time: a winding warms, so it falls, and a
    gate counts only when the current is still above it at that gate's longest time.
    """
    times = [
        most
        for ratio, _least, most in fuse.kind.gates
        if current_after(most) >= ratio * fuse.amperes * (1 - 1e-9)
    ]
    return min(times, default=None)
