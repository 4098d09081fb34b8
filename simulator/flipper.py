"""A flipper as the plant sees it: two windings and an end-of-stroke switch."""

from simulator.agenda import Agenda, Contacts
from simulator.routes import FlipperTable


class Flipper:
    """A bat on two windings: the strong one lifts, either holds; its switch is closed while it is up."""

    def __init__(self, row: FlipperTable, agenda: Agenda, contacts: Contacts) -> None:
        self.row = row
        self.up = False
        self._strong_until = 0
        self._held = False
        self._agenda = agenda
        self._contacts = contacts

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """A record of one of its windings."""
        if name == self.row.hold:
            self._held = value != 0
        elif name == self.row.strong:
            self._strong_until = at_ms + max(value, 0)
            if value > 0:
                self._agenda.at(at_ms + self.row.rises_in, self._rise)
        else:
            return
        self._agenda.at(max(at_ms, self._strong_until) + self.row.falls_in, self._fall)

    def _powered(self, now_ms: int) -> bool:
        return self._held or now_ms < self._strong_until

    def _rise(self, now_ms: int) -> None:
        if self._powered(now_ms) and not self.up:
            self.up = True
            self._contacts.press(self.row.switch)

    def _fall(self, now_ms: int) -> None:
        if not self._powered(now_ms) and self.up:
            self.up = False
            self._contacts.release(self.row.switch)
