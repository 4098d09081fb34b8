"""Fuses: the limits of their standards, and when a coil that is locked on opens one."""

from collections.abc import Callable
from dataclasses import dataclass

from firmware.base.errors import UsageError
from hil.electrical.sums.given import positive

RATINGS = (0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0)


@dataclass(frozen=True)
class Kind:
    """A kind of fuse: what it carries for ever as a multiple of its rating, and its gates.

    A gate is (multiple of the rating, shortest and longest opening time in s)."""

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
        """Seconds by which it has opened for certain at `current` A; None: the standard promises nothing."""
        found = None
        for times, _least, most in self.kind.gates:
            if current >= times * self.amperes * (1 - 1e-9):
                found = most
        return found

    def certain_squares(self) -> float:
        """∫i² dt in A²s of a pulse that it survives for certain, from its gates; 0: unknown."""
        sure = [(times * self.amperes) ** 2 * least for times, least, _most in self.kind.gates if least]
        return min(sure, default=0.0)


def parse(text: str) -> Fuse:
    """Parse amperes and kind, such as "3.15 fast", "2 slow" or "5 ul". Raises UsageError."""
    words = text.split()
    try:
        found = Fuse(KINDS[words[1].lower()], float(words[0]))
    except (IndexError, KeyError, ValueError):
        raise UsageError(
            f"fuse '{text}' is not understood: give amperes and kind, such as '2 slow', '3.15 fast' or '5 ul'"
        ) from None
    positive(f"fuse '{text}': a rating", found.amperes)
    return found


def opening(fuse: Fuse, current_after: Callable[[float], float]) -> float | None:
    """Seconds by which a falling current has opened `fuse` for certain; None: not promised.

    `current_after(seconds)` is the least current in A at that time; it falls as the winding warms. A gate
    counts only when the current is still above it at the gate's longest time.
    """
    times = [
        most
        for ratio, _least, most in fuse.kind.gates
        if current_after(most) >= ratio * fuse.amperes * (1 - 1e-9)
    ]
    return min(times, default=None)
