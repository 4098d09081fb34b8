"""From samples of contacts to reflexes and debounced edges: the plain twin of a board's scan.

Contacts come in five groups of 16 bits: matrix columns 1 and 2 (row 1 of column 1 in the lowest bit),
3 and 4, 5 and 6, 7 and 8, then direct inputs 1 … 16. A level counts once two samples in a row agree.
"""

from array import array

from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.devices.core import Core
from firmware.devices.switches import class_times

GROUPS = 5
CONTACTS = 80
DIRECT = 64
ROWS = 8
PRIMING = 8  # scans that must agree before contacts count

RAW = 0
STILL = 5  # debounced
PENDING = 10  # raw differs from debounced
PRIMED = 15
RING_FIRST = 16
RING_HELD = 17
RING_LOST = 18
DUE = 20
SWITCH = 100  # switch of a contact, −1: not wired
CLOSE_MS = 180
OPEN_MS = 260
AT_RING = 340
RING = 64
SIZE = 404


def build(switches: "Any") -> "array[int]":
    """The cells of the scan. Raises GameError for a place that the matrix does not have."""
    s = array("i", [0] * SIZE)
    for contact in range(CONTACTS):
        s[SWITCH + contact] = -1
    for i in range(len(switches)):
        name, kind, _zone, row, column = switches[i]
        contact = place(name, row, column)
        if s[SWITCH + contact] >= 0:
            raise GameError(f"switches '{switches[s[SWITCH + contact]][0]}' and '{name}' share one place")
        s[SWITCH + contact] = i
        s[CLOSE_MS + contact], s[OPEN_MS + contact] = class_times(kind, name)
    return s


def place(name: str, row: int, column: int) -> int:
    """Contact number of a wired place; row 0 stands for the direct inputs."""
    if row == 0 and 1 <= column <= CONTACTS - DIRECT:
        return DIRECT + column - 1
    if 1 <= row <= ROWS and 1 <= column <= DIRECT // ROWS:
        return (column - 1) * ROWS + row - 1
    raise GameError(
        f"switch '{name}' is wired to row {row}, column {column}; the matrix has 8 × 8, direct 16"
    )


class Scan:
    """Contacts of one machine; what they do at once goes to `core`, edges wait in a ring."""

    def __init__(self, switches: "Any", core: Core) -> None:
        self.cells = build(switches)
        self.core = core

    def step(self, one: "Sequence[int]", two: "Sequence[int]", now: int) -> None:
        """One millisecond: two samples of the five groups, taken half a millisecond apart."""
        self.core.tick(now)
        if self.cells[PRIMED] < PRIMING:
            self._prime(one, two, now)
            return
        s = self.cells
        for group in range(GROUPS):
            if one[group] != s[RAW + group]:
                self._take(group, one[group], two[group], now)
            if s[PENDING + group]:
                self._settle(group, now)

    def _prime(self, one: "Sequence[int]", two: "Sequence[int]", now: int) -> None:
        """What is closed at power-up reaches the rules, and fires nothing."""
        s = self.cells
        for group in range(GROUPS):
            if one[group] != two[group] or (s[PRIMED] and one[group] != s[RAW + group]):
                s[PRIMED] = 0
        for group in range(GROUPS):
            s[RAW + group] = one[group]
        s[PRIMED] += 1
        if s[PRIMED] == PRIMING:
            for contact in range(CONTACTS):
                if s[RAW + (contact >> 4)] >> (contact & 15) & 1 and s[SWITCH + contact] >= 0:
                    self._await(contact, 1, now)

    def _take(self, group: int, one: int, two: int, now: int) -> None:
        s = self.cells
        changed = (one ^ s[RAW + group]) & ~(one ^ two)
        s[RAW + group] ^= changed
        contact = group * 16
        while changed:
            if changed & 1 and s[SWITCH + contact] >= 0:
                self.core.contact(s[SWITCH + contact], one & 1, now)
                self._await(contact, one & 1, now)
            changed >>= 1
            one >>= 1
            contact += 1

    def _await(self, contact: int, closed: int, now: int) -> None:
        s = self.cells
        group = contact >> 4
        bit = 1 << (contact & 15)
        if (s[STILL + group] & bit != 0) == (closed != 0):
            s[PENDING + group] &= ~bit
            return
        s[PENDING + group] |= bit
        s[DUE + contact] = ticks.add(now, s[(CLOSE_MS if closed else OPEN_MS) + contact])

    def _settle(self, group: int, now: int) -> None:
        s = self.cells
        pending = s[PENDING + group]
        contact = group * 16
        bit = 1
        while pending >= bit:
            if pending & bit and ticks.diff(s[DUE + contact], now) <= 0:
                s[PENDING + group] ^= bit
                s[STILL + group] ^= bit
                self._edge(s[SWITCH + contact], 1 if s[STILL + group] & bit else 0)
            bit <<= 1
            contact += 1

    def _edge(self, switch: int, closed: int) -> None:
        s = self.cells
        if s[RING_HELD] == RING:
            s[RING_LOST] += 1
            return
        s[AT_RING + (s[RING_FIRST] + s[RING_HELD]) % RING] = switch * 2 + closed
        s[RING_HELD] += 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any
