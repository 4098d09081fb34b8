"""A time limit of a game's independent model (host/model.py), which runs while a ball is free."""

from collections.abc import Callable
from typing import Protocol


class Judged(Protocol):
    """What a window asks of the run that is judged."""

    tolerance_ms: int

    def object(self, feature: str, expected: str, seen: str) -> None:
        """The run shows what the sheet does not allow."""


class Window:
    """A time in ms that runs while a ball is free; `unshown`: so much longer it counts, unlit.

    Within the tolerance of its end it is over when the run shows the event `name`. Another end is an
    objection.
    """

    def __init__(
        self, table: Judged, name: str, late: Callable[[], None] | None = None, unshown: int = 0
    ) -> None:
        self.left = 0
        self.active = False
        self.name = name
        self._unshown = unshown
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
            if self._whole_left() < -self._table.tolerance_ms:
                self._table.object(self.name, "its time is over", "it goes on")
                self._end()

    def expired(self) -> None:
        """The run shows that it is over."""
        if not self.active:
            return
        left = self._whole_left()
        if left > self._table.tolerance_ms:
            self._table.object(self.name, f"its time goes on for {left} ms", "over")
        self._end()

    def is_open(self) -> bool:
        """Whether it is open beyond the tolerance of its end."""
        return self.active and self._whole_left() > self._table.tolerance_ms

    def is_lit(self) -> bool | None:
        """Whether its insert is lit; None within the tolerance of its end."""
        if self.active and abs(self.left) <= self._table.tolerance_ms:
            return None
        return self.active and self.left > 0

    def _whole_left(self) -> int:
        return self.left + self._unshown

    def _end(self) -> None:
        self.active = False
        if self._late is not None:
            self._late()
