"""The callback's coil limits and reflexes as the console sees them.

Each call runs with interrupts off for some tens of microseconds, so that it never meets the callback.
"""

import machine
import uctypes

from boards.pico_matrix import reflex
from firmware.devices import cells as c
from firmware.devices.core import Core
from firmware.devices.senses import WITHHELD

_NOW = 0


class LiveCore(Core):
    """The calls of Core; contacts and time come from the callback, so those do nothing here."""

    def __init__(self, cells: "array[int]", board: "array[int]", senses: "array[int]") -> None:
        self.cells = cells
        self.volts_low = False
        self._board = board
        self._senses = senses
        self._at: Any = uctypes.addressof(cells)

    def reason(self, coil: int, ms: int, _now: int) -> int:
        """Why `ms` of `coil` would be refused now, 0 when it would not."""
        state = machine.disable_irq()
        why = reflex.reason(self._at, coil, ms, self._board[_NOW])
        machine.enable_irq(state)
        return why

    def fire(self, coil: int, ms: int, _now: int) -> int:
        """Now or not at all: 0, or the reason of the refusal."""
        state = machine.disable_irq()
        why = reflex.fire(self._at, coil, ms, self._board[_NOW])
        machine.enable_irq(state)
        return why

    def off(self, coil: int, _now: int) -> bool:
        """Off now; whether it was on."""
        state = machine.disable_irq()
        was = reflex.off(self._at, coil, self._board[_NOW])
        machine.enable_irq(state)
        return was != 0

    def off_all(self) -> None:
        """Every coil off and the flippers forgotten."""
        state = machine.disable_irq()
        reflex.renew(self._at, 0, self._board[_NOW])
        machine.enable_irq(state)
        for coil in range(self.cells[c.COILS]):
            self.off(coil, 0)

    def resting(self, coil: int, _now: int) -> int:
        """Milliseconds until `coil` may fire again."""
        state = machine.disable_irq()
        left = reflex.resting(self._at, coil, self._board[_NOW])
        machine.enable_irq(state)
        return left

    def driven(self, _now: int) -> bool:
        """Whether any coil is on."""
        return self.cells[c.DRIVEN] != 0

    def begin(self, now: int) -> None:
        """The clock of this run starts here: coils are half hot now."""
        for coil in range(self.cells[c.COILS]):
            self.cells[c.HEAD + coil * c.COIL + c.HEAT_AT] = now

    def renew(self, armed: bool, _now: int) -> None:
        """The rules are alive; no lease while coils are withheld."""
        state = machine.disable_irq()
        reflex.renew(self._at, 1 if armed and not self._senses[WITHHELD] else 0, self._board[_NOW])
        machine.enable_irq(state)

    def armed(self, _now: int) -> bool:
        """Whether the lease runs; the callback ends it."""
        return self.cells[c.ARMED] != 0

    def contact(self, _switch: int, _closed: int, _now: int) -> None:
        """The callback sees contacts itself."""

    def tick(self, _now: int) -> None:
        """The callback has its own clock."""

    def due(self, _now: int) -> int:
        """Nothing: see tick."""
        return -1

    def drop_first(self) -> None:
        """Forget the oldest report."""
        a = self.cells
        state = machine.disable_irq()
        a[c.RING_FIRST] = (a[c.RING_FIRST] + 1) % c.RING
        a[c.RING_HELD] -= 1
        machine.enable_irq(state)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array
    from typing import Any
