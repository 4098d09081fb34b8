"""The standing checks: what no script may show, whatever it asserts.

Coil limits are computed from the coil records and the wiring table alone, so that a fault in the
firmware's own governor is seen.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from hil.clockwork import Plant
from hil.view import View, seconds


@dataclass(frozen=True)
class Evidence:
    """What a run left behind: `now_ms` is when it ended."""

    view: View
    wiring: Any
    now_ms: int
    plant: Plant | None


class Finding(NamedTuple):
    """A standing check that failed."""

    expected: str
    seen: str
    at_ms: int


def standing_checks(evidence: Evidence) -> list[Finding]:
    """Everything that is wrong, in the order of CHECKS."""
    return [finding for check in CHECKS for finding in check(evidence)]


class CoilWatch:
    """One coil's on-times and rests; times are ms since start."""

    def __init__(self, name: str, longest: int, rest: int) -> None:
        self.findings: list[Finding] = []
        self._name = name
        self._longest = longest
        self._rest = rest
        self._from = 0
        self._until: int | None = None  # None: held on
        self._used = False

    def told(self, value: int, ms: int) -> None:
        """A COIL record: pulse in ms, −1 held on, 0 off."""
        if value == 0:
            self._off(ms)
            return
        if self._used:
            self._check_rest(ms)
        self._used = True
        self._from = ms
        self._until = None if value < 0 else ms + value
        if 0 < self._longest < value:
            self._too_long(value)

    def end(self, now_ms: int) -> None:
        """The run is over: a coil that is still held has been on until now."""
        if self._used and self._until is None:
            self._held_until(now_ms)

    def _off(self, ms: int) -> None:
        if not self._used:
            return
        if self._until is None:
            self._held_until(ms)
            self._until = ms
        else:
            self._until = min(self._until, ms)

    def _held_until(self, ms: int) -> None:
        if 0 < self._longest < ms - self._from:
            self._too_long(ms - self._from)

    def _too_long(self, on_ms: int) -> None:
        self.findings.append(
            Finding(f"coil {self._name} on for at most {self._longest} ms", f"on for {on_ms} ms", self._from)
        )

    def _check_rest(self, ms: int) -> None:
        if self._until is None or ms < self._until:
            seen = f"switched on again while on since {seconds(self._from)}"
        elif ms - self._until < self._rest:
            seen = f"switched on after {ms - self._until} ms off"
        else:
            return
        self.findings.append(Finding(f"coil {self._name} rests at least {self._rest} ms", seen, ms))


def coil_limits(evidence: Evidence) -> list[Finding]:
    """No coil longer on than its longest on-time, none back on within its rest."""
    rows = {row[0]: CoilWatch(row[0], row[3], row[4]) for row in evidence.wiring.COILS}
    for happening in evidence.view.history:
        if happening.kind == "coil":
            rows[happening.name].told(happening.value, happening.ms)
    for watch in rows.values():
        watch.end(evidence.now_ms)
    return [finding for watch in rows.values() for finding in watch.findings]


def balls_kept(evidence: Evidence) -> list[Finding]:
    """Every ball is somewhere: the plant's books agree and the count is the machine's."""
    plant = evidence.plant
    if plant is None:
        return []
    found = []
    places = {place: count for place, count in plant.places().items() if count}
    there = ", ".join(f"{place} {count}" for place, count in places.items())
    if plant.lost:
        found.append(Finding("no ball lost", f"{plant.lost} lost; {there}", evidence.now_ms))
    if sum(places.values()) != evidence.wiring.BALLS:
        found.append(Finding(f"{evidence.wiring.BALLS} balls in the machine", there, evidence.now_ms))
    return found


CHECKS: tuple[Callable[[Evidence], list[Finding]], ...] = (coil_limits, balls_kept)
