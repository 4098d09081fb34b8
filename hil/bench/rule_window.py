"""A time limit of a game's independent model (host/model.py), which runs while a ball is free."""

from collections.abc import Callable
from typing import Protocol


class Judged(Protocol):
    """What a window asks of the run that is judged."""

    tolerance_ms: int
    doubts: int

    def was_paid(self, award: str) -> bool:
        """Whether the game paid an award in this millisecond."""

    def object(self, feature: str, expected: str, seen: str) -> None:
        """The run shows what the sheet does not allow."""


class Window:
    """A time in ms that runs while a ball is free; `unshown`: so much longer it counts, unlit."""

    def __init__(self, table: Judged, late: Callable[[], None] | None = None, unshown: int = 0) -> None:
        self.left = 0
        self.active = False
        self.unshown = unshown
        self._table = table
        self._late = late

    def start(self, ms: int) -> None:
        """Open, or open again, for `ms`."""
        self.left, self.active = ms, True

    def stop(self) -> None:
        """Close, without being late."""
        self.active = False

    def run(self, ms: int) -> None:
        """Let time pass in which a ball was free."""
        if self.active:
            self.left -= ms
            if self.left + self.unshown < -self._table.tolerance_ms:
                self._end()

    def is_open(self, award: str) -> bool:
        """Whether it is open; within the tolerance of its end, whether the game paid `award` now."""
        if not self.active or self.left > self._table.tolerance_ms:
            return self.active
        self._table.doubts += 1
        if not self._table.was_paid(award):
            self._end()
        return self.active

    def is_over(self, award: str) -> bool:
        """Whether its time is over; within the tolerance of its end, whether the game paid `award` now."""
        if self.active and self.left <= self._table.tolerance_ms and self._table.was_paid(award):
            self._table.doubts += 1
            self._end()
        return not self.active

    def expired(self, name: str) -> None:
        """The game says that it is over; an objection before the tolerance. `name`: its own."""
        if not self.active:
            return
        left = self.left + self.unshown
        if left > self._table.tolerance_ms:
            self._table.object(name, f"its time goes on for {left} ms", "over")
        self._end()

    def is_lit(self) -> bool | None:
        """Whether its insert is lit; None within the tolerance of its end."""
        if self.active and abs(self.left) <= self._table.tolerance_ms:
            return None
        return self.active and self.left > 0

    def counts(self) -> bool | None:
        """Whether it is open, the unshown time included; None within the tolerance of that time's end."""
        left = self.left + self.unshown
        if self.active and abs(left) <= self._table.tolerance_ms:
            return None
        return self.active

    def _end(self) -> None:
        self.active = False
        if self._late is not None:
            self._late()
