"""A simulated flipper: two windings and an end-of-stroke switch."""

from simulator.routes import FlipperRow
from simulator.scheduler import Contacts, Scheduler


class Flipper:
    """Raised by its strong winding, held up by either; its end-of-stroke switch closes at the top.

    `rises_in` and `falls_in` of its row are ms.
    """

    def __init__(self, row: FlipperRow, scheduler: Scheduler, contacts: Contacts) -> None:
        self.row = row
        self.is_up = False
        self._strong_until = 0
        self._held = False
        self._scheduler = scheduler
        self._contacts = contacts

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """React to a COIL record, `value`: pulse in ms, −1 held on, 0 off. Other coils are ignored."""
        if name == self.row.hold:
            self._held = value != 0
        elif name == self.row.strong:
            self._strong_until = at_ms + max(value, 0)
            if value > 0:
                self._scheduler.schedule(at_ms + self.row.rises_in, self._rise)
        else:
            return
        self._scheduler.schedule(max(at_ms, self._strong_until) + self.row.falls_in, self._fall)

    def _powered(self, now_ms: int) -> bool:
        return self._held or now_ms < self._strong_until

    def _rise(self, now_ms: int) -> None:
        if self._powered(now_ms) and not self.is_up:
            self.is_up = True
            self._contacts.press(self.row.switch)

    def _fall(self, now_ms: int) -> None:
        if not self._powered(now_ms) and self.is_up:
            self.is_up = False
            self._contacts.release(self.row.switch)
