"""The coil limiter and the reflexes as one object: `native.limiter` on the state of one machine.

It refuses and reports; it never stretches a pulse, and cuts one short only when asked to switch off.
Reports wait in a ring until they are taken. A board whose interrupt runs the same functions on the same
state offers a subclass of this.
"""

from firmware.base import ticks
from firmware.base.numbers import quick
from firmware.devices.limiter_state import build
from firmware.devices.native import limiter as c

NOT_ARMED = 3
QUEUE_FULL = 5


class CoilLimiter:
    """One machine's coils and reflexes; `now` is always a tick of period 2^30."""

    volts_low = False

    def __init__(self, wiring: "Wiring") -> None:
        self.state = quick(build(wiring))
        self._left = 0

    # Coils -----------------------------------------------------------------------------------

    def _answer(self, what: int, coil: int, ms: int, now: int) -> int:
        """The limiter's answer to one request: 0, or the reason of a refusal."""
        state = self.state
        c.request(state, what, coil, ms)
        c.serve(state, now)
        self._left = state[c.LEFT]
        return state[c.ANSWER]

    def reason(self, coil: int, ms: int, now: int) -> int:
        """Why `ms` of `coil` would be refused now, 0 when it would not."""
        return self._answer(c.ASK, coil, ms, now)

    def fire(self, coil: int, ms: int, now: int) -> int:
        """Now or not at all: 0, or the reason of the refusal. Both are reported."""
        return self._answer(c.FIRE, coil, ms, now)

    def off(self, coil: int, now: int) -> None:
        """Off now. What was not used of a pulse does not count as heat."""
        self._answer(c.SWITCH_OFF, coil, 0, now)

    def resting(self, coil: int, now: int) -> int:
        """Milliseconds until `coil` may fire again."""
        return self._left if self._answer(c.ASK, coil, 1, now) == c.RESTING else 0

    def driven(self, now: int) -> bool:
        """Whether any coil is on."""
        return c.serve(self.state, now) != 0

    # Reflexes --------------------------------------------------------------------------------

    def begin(self, now: int) -> None:
        """The clock starts here: coils are half hot now."""
        for coil in range(self.state[c.COILS]):
            self.state[c.HEAD + coil * c.COIL + c.HEAT_AT] = now

    def restart(self, template: "array[int]") -> None:
        """A new run on the same coils, which are off: all as in `template`, but for heat and rest."""
        state = self.state
        before = list(state)
        for i in range(len(state)):
            state[i] = template[i]
        for coil in range(state[c.COILS]):
            for cell in c.REMEMBERED:
                at = c.HEAD + coil * c.COIL + cell
                state[at] = before[at]

    def renew(self, armed: bool, now: int) -> None:
        """The rules are alive: reflexes may act for another lease, if they may act at all."""
        self.state[c.LEASE_END] = ticks.add(now, c.LEASE_MS)
        self.state[c.ARMED] = 1 if armed else 0
        if not armed:
            self._advance(c.NO_KICK, now)

    def armed(self, now: int) -> bool:
        """Whether reflexes may act; flippers fall when the lease is over."""
        self._advance(c.NO_KICK, now)
        return self.state[c.ARMED] != 0

    def contact(self, switch: int, closed: int, now: int) -> None:
        """A contact changed, before any debounce."""
        kick = c.contact(self.state, switch, closed, now)
        if kick and c.advance(self.state, kick, now):
            c.serve(self.state, now)

    def tick(self, now: int) -> None:
        """What time brings: pulses end, the lease lapses, a ball that rests on a switch is kicked."""
        self._advance(c.ALL_KICKS, now)

    def _advance(self, kick: int, now: int) -> None:
        c.advance(self.state, kick, now)
        c.serve(self.state, now)

    def due(self, now: int) -> int:
        """Milliseconds until a switch that is rested on matters, −1 when none is."""
        a = self.state
        best = -1
        for i in range(a[c.KICKS]):
            row = a[c.AT_KICKS] + i * c.KICK
            if a[row + c.RESTING_ON]:
                left = max(0, ticks.diff(a[row + c.REFIRE_AT], now))
                if best < 0 or left < best:
                    best = left
        return best

    # Reports ---------------------------------------------------------------------------------

    def first(self) -> int:
        """Where the oldest report is in the state (what, coil, value), −1 when there is none."""
        a = self.state
        return a[c.AT_RING] + a[c.RING_FIRST] * c.REPORT if a[c.RING_HELD] else -1

    def drop_first(self) -> None:
        """Forget the oldest report."""
        a = self.state
        a[c.RING_FIRST] = (a[c.RING_FIRST] + 1) % c.RING
        a[c.RING_HELD] -= 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array

    from firmware.devices.wiring import Wiring
