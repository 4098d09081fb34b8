"""The error that ended the program last: what, where, the events before it; open twice acknowledges it."""

from firmware.base.trace import EDGE
from firmware.operator.service_page import ConfirmedListPage
from firmware.operator.switch_pages import seconds

WHAT = 0  # the row of the error itself; the events follow, the last one first


class LastError(ConfirmedListPage):
    """Until it is acknowledged here no coil moves and no game starts."""

    empty = "NO ERROR"

    def count(self) -> int:
        """The error and the events before it; no row without an error."""
        return 1 + self.pad.ended.count() if self.pad.ended else 0

    def show(self, at: int) -> None:
        """Write the error, or one of the events before it."""
        ended = self.pad.ended
        if not ended:
            return
        if at == WHAT:
            self.show_line(0, ended.sentence)
            self.show_line(1, self._asked())
            return
        ms, kind, ident, value = ended.event(at - 1)
        self.show_line(0, self._event(kind, ident, value))
        self.show_line(1, f"{at}. {seconds(ms)}")

    def open_(self) -> None:
        """Ask, then acknowledge the error."""
        if self.at != WHAT or not self.pad.waiting:
            self.refuse()
        elif self._confirmation.confirm():
            self.pad.acknowledge()
            self.show_line(1, "READ, COILS ON")
        else:
            self.draw()

    def _asked(self) -> str:
        if not self.pad.waiting:
            return "WAS READ"
        return "OPEN AGAIN: YES" if self._confirmation.is_pending() else "OPEN: IT IS READ"

    def _event(self, kind: int, ident: int, value: int) -> str:
        if kind == EDGE:
            names = self.menu.names.of_switches
            return (names[ident] if ident < len(names) else str(ident)) + (" CLOSED" if value else " OPENED")
        events = self.console.events
        return "EVENT " + (events.name(ident) if ident < len(events) else str(ident))
