"""Debounce: a raw contact change becomes an edge once it has been still for its class's time."""

from array import array

from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.charts.near import meant

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
    for row in CLASSES:
        if row[0] == name:
            return row[1], row[2]
    known = [row[0] for row in CLASSES]
    raise GameError("switch '" + switch + "' has the unknown class '" + name + "'" + meant(name, list(known)))


class Switches:
    """Raw and debounced state of every switch; ids are positions in the wiring table."""

    def __init__(self, rows: "tuple[tuple[str, str, str, int, int], ...]", closed: bytearray) -> None:
        times = [class_times(row[1], row[0]) for row in rows]
        self.count = len(rows)
        self.raw = bytearray(self.count)
        self.closed = closed
        self._close_ms = bytearray([t[0] for t in times])
        self._open_ms = bytearray([t[1] for t in times])
        self._due = array("i", [0] * self.count)
        self._waiting = bytearray(self.count)
        self.waiting = 0

    def change(self, switch: int, closed: int, now: int) -> None:
        """The contact of `switch` changed at `now`."""
        self.raw[switch] = closed
        if closed == self.closed[switch]:
            self._settle(switch)
            return
        still = self._close_ms[switch] if closed else self._open_ms[switch]
        self._due[switch] = ticks.add(now, still)
        if not self._waiting[switch]:
            self._waiting[switch] = 1
            self.waiting += 1

    def settled(self, switch: int, closed: int, now: int) -> bool:
        """A board that debounces itself says so; False while its last word is not taken yet."""
        if self._waiting[switch]:
            return False
        self.raw[switch] = closed
        if closed != self.closed[switch]:
            self._due[switch] = now
            self._waiting[switch] = 1
            self.waiting += 1
        return True

    def due(self, now: int) -> int:
        """Milliseconds until the next edge, −1 when none is on its way."""
        best = -1
        if self.waiting:
            for switch in range(self.count):
                if self._waiting[switch]:
                    left = ticks.diff(self._due[switch], now)
                    if left < 0:
                        left = 0
                    if best < 0 or left < best:
                        best = left
        return best

    def pop(self, now: int) -> int:
        """The lowest switch whose edge is due, now debounced; −1 when there is none."""
        if self.waiting:
            for switch in range(self.count):
                if self._waiting[switch] and ticks.diff(self._due[switch], now) <= 0:
                    self._settle(switch)
                    self.closed[switch] = self.raw[switch]
                    return switch
        return -1

    def _settle(self, switch: int) -> None:
        if self._waiting[switch]:
            self._waiting[switch] = 0
            self.waiting -= 1
