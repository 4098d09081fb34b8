"""A simulated wheel on a motor: one index pulse at each stop, a longer one at stop 0."""

from simulator.routes import WheelRow
from simulator.scheduler import Contacts, Scheduler


class Wheel:
    """Turns from stop to stop while its motor is on; an index pulse that has begun is always finished."""

    def __init__(self, row: WheelRow, scheduler: Scheduler, contacts: Contacts) -> None:
        self.row = row
        self.stop = row.starts_at
        self._on = False
        self._start = 0
        self._scheduler = scheduler
        self._contacts = contacts

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """React to a COIL record of its motor: 0 off, anything else on. Other coils' records are ignored."""
        if name != self.row.motor:
            return
        if value and not self._on:
            self._start += 1
            self._plan(at_ms + self.row.step)
        self._on = value != 0

    def _plan(self, ms: int) -> None:
        start = self._start
        self._scheduler.schedule(ms, lambda now_ms: self._arrive(now_ms, start))

    def _arrive(self, now_ms: int, start: int) -> None:
        if not self._on or start != self._start:
            return
        self.stop = (self.stop + 1) % self.row.stops
        length = self.row.long if self.stop == 0 else self.row.short
        self._contacts.press(self.row.switch)
        self._scheduler.schedule(now_ms + length, lambda ms: self._leave(ms, start, length))

    def _leave(self, now_ms: int, start: int, length: int) -> None:
        self._contacts.release(self.row.switch)
        if self._on and start == self._start:
            self._plan(now_ms + self.row.step - length)
