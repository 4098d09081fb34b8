"""The callback's coil limiter and reflexes as the console sees them.

Each call runs with interrupts off for some tens of microseconds, so that it never meets the callback.
"""

import machine

from boards.pico_matrix import isr
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter as c
from firmware.devices.native.senses import WITHHELD


class IsrCoilLimiter(CoilLimiter):
    """A CoilLimiter on the callback's clock, where the machine's contacts and time come to it."""

    state: "array[int]"

    def __init__(self, state: "array[int]", board: "array[int]", senses: "array[int]") -> None:
        self.state = state
        self.volts_low = False
        self._left = 0
        self._board = board
        self._senses = senses

    def _answer(self, what: int, coil: int, ms: int, now: int) -> int:
        before = machine.disable_irq()
        answer = CoilLimiter._answer(self, what, coil, ms, self._board[isr.NOW])
        machine.enable_irq(before)
        return answer

    def off_all(self) -> None:
        """Every coil off and the flippers forgotten."""
        self.renew(False, 0)
        for coil in range(self.state[c.COILS]):
            self.off(coil, 0)

    def restart(self, template: "array[int]") -> None:
        """A new run on the same coils; every coil is off."""
        before = machine.disable_irq()
        CoilLimiter.restart(self, template)
        machine.enable_irq(before)

    def driven(self, now: int) -> bool:
        """Whether any coil is on."""
        return self.state[c.DRIVEN] != 0

    def renew(self, armed: bool, now: int) -> None:
        """The rules are alive; no lease while coils are withheld."""
        before = machine.disable_irq()
        CoilLimiter.renew(self, armed and not self._senses[WITHHELD], self._board[isr.NOW])
        machine.enable_irq(before)

    def armed(self, now: int) -> bool:
        """Whether the lease runs; the callback ends it."""
        return self.state[c.ARMED] != 0

    def contact(self, switch: int, closed: int, now: int) -> None:
        """A contact that a host moves in a run in real time; the machine's own come to the callback."""
        before = machine.disable_irq()
        CoilLimiter.contact(self, switch, closed, self._board[isr.NOW])
        machine.enable_irq(before)

    def tick(self, now: int) -> None:
        """The callback has its own clock."""

    def due(self, now: int) -> int:
        """Nothing: see tick."""
        return -1

    def drop_first(self) -> None:
        """Forget the oldest report."""
        before = machine.disable_irq()
        CoilLimiter.drop_first(self)
        machine.enable_irq(before)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array
