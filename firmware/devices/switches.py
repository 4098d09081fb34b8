"""Debounce: a raw contact change becomes an edge once it has been still for its class's time."""

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean

# class: still for this long to count as closed, as open (ms).
# Common practice, no source; opening times of 170 and 200 ms outlast the worst contact of
# Ganssle's survey (157 ms), 8 ms its worst ordinary one (6.2 ms).
CLASSES = (
    ("bumper", 1, 30),
    ("sling", 1, 30),
    ("spinner", 1, 8),
    ("target", 4, 20),
    ("rollover", 4, 20),
    ("flipper", 3, 8),
    ("tilt", 2, 20),
    ("service", 30, 170),
    ("coin", 30, 170),
    ("lane", 200, 40),
    ("rest", 200, 200),
)
ZONES = ("playfield", "device", "cabinet")


def class_times(name: str, switch: str) -> "tuple[int, int]":
    """(close_ms, open_ms) of a class. Raises GameError with the near miss."""
    for known, close_ms, open_ms in CLASSES:
        if known == name:
            return close_ms, open_ms
    raise GameError(
        "switch '"
        + switch
        + "' has the unknown class '"
        + name
        + "'"
        + did_you_mean(name, [row[0] for row in CLASSES])
    )


class Switches:
    """Raw and debounced state of every switch; ids are positions in the wiring table, `count` is how many.

    What debounces a switch is the number of the same id in `agenda`.
    """

    def __init__(
        self, rows: "tuple[tuple[str, str, str, int, int], ...]", closed: bytearray, agenda: "Agenda"
    ) -> None:
        times = [class_times(kind, name) for name, kind, _zone, _row, _column in rows]
        self.count = len(rows)
        self.raw = bytearray(self.count)
        self.closed = closed
        self._close_ms = bytearray([close_ms for close_ms, _open_ms in times])
        self._open_ms = bytearray([open_ms for _close_ms, open_ms in times])
        self._agenda = agenda

    def change(self, switch: int, closed: int) -> None:
        """The contact of `switch` changed now."""
        agenda = self._agenda
        if agenda.state[switch]:
            agenda.remove(switch)
        self.raw[switch] = closed
        if closed != self.closed[switch]:
            agenda.insert(switch, self._close_ms[switch] if closed else self._open_ms[switch])

    def settled(self, switch: int, closed: int) -> bool:
        """A board that debounces itself says so; False while its last word is not taken yet."""
        if self._agenda.state[switch]:
            return False
        self.raw[switch] = closed
        if closed != self.closed[switch]:
            self._agenda.insert(switch, 0)
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.base.agenda import Agenda
