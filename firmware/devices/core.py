"""Coil limits and reflexes on plain cells: what must work when the rules do not.

A board's callback is the same algorithm on the same cells (see `cells`); this one serves the desk
and the tests. It refuses and reports; it never stretches a pulse, and cuts one short only when
told to switch off. Reports wait in a ring until they are taken.
"""

from firmware.base import ticks
from firmware.devices import cells as c

TOO_LONG = 1
RESTING = 2
NOT_ARMED = 3
BUSY = 4
QUEUE_FULL = 5
HOT = 6
SUPPLY = 7
STORM = 8
RESTED_ON = 9


class Core:
    """One machine's coils and reflexes; `now` is always a tick of period 2^30."""

    volts_low = False

    def __init__(self, wiring: "Any") -> None:
        self.cells = c.build(wiring)

    # Coils -----------------------------------------------------------------------------------

    def reason(self, coil: int, ms: int, now: int) -> int:
        """Why `ms` of `coil` would be refused now, 0 when it would not."""
        a = self.cells
        row = c.HEAD + coil * c.COIL
        longest = a[row + c.LONGEST]
        if ms == c.HOLD:
            if longest:
                return TOO_LONG
        elif longest and ms > longest:
            return TOO_LONG
        elif self.resting(coil, now):
            return RESTING
        self._end_pulses(now)
        if a[row + c.BUDGET] and ms > 0:
            self._cool(row, now)
            if a[row + c.HEAT] + ms * c.UNIT > a[row + c.BUDGET]:
                return HOT
        if a[row + c.KIND] == c.FLIPPER or a[row + c.STATE] or not a[c.SUPPLY]:
            return 0
        return SUPPLY if a[c.AMPERES] + a[row + c.CURRENT] > a[c.SUPPLY] else 0

    def fire(self, coil: int, ms: int, now: int) -> int:
        """Now or not at all: 0, or the reason of the refusal. Both are reported."""
        reason = self.reason(coil, ms, now)
        if reason:
            self._report(c.REFUSED, coil, reason)
            return reason
        a = self.cells
        row = c.HEAD + coil * c.COIL
        if not a[row + c.STATE]:
            a[c.AMPERES] += a[row + c.CURRENT]
            a[c.DRIVEN] |= a[row + c.DRIVE]
        if ms == c.HOLD:
            a[row + c.STATE] = c.HELD
        else:
            a[row + c.STATE] = c.PULSED
            a[row + c.END] = ticks.add(now, ms)
            a[row + c.READY] = ticks.add(now, ms + a[row + c.REST])
            a[row + c.USED] = 1
            if a[row + c.BUDGET]:
                a[row + c.HEAT] += ms * c.UNIT
        self._report(c.FIRED, coil, ms)
        return 0

    def off(self, coil: int, now: int) -> bool:
        """Off now; whether it was on. What was not used of a pulse does not count as heat."""
        self._end_pulses(now)
        a = self.cells
        row = c.HEAD + coil * c.COIL
        if not a[row + c.STATE]:
            return False
        if a[row + c.STATE] == c.PULSED and a[row + c.BUDGET]:
            unused = ticks.diff(a[row + c.END], now) * c.UNIT
            a[row + c.HEAT] = max(0, a[row + c.HEAT] - unused)
        self._release(row)
        a[row + c.READY] = ticks.add(now, a[row + c.REST])
        a[row + c.USED] = 1
        self._report(c.ENDED, coil, 0)
        return True

    def resting(self, coil: int, now: int) -> int:
        """Milliseconds until `coil` may fire again."""
        a = self.cells
        row = c.HEAD + coil * c.COIL
        if not a[row + c.USED]:
            return 0
        left = ticks.diff(a[row + c.READY], now)
        if left <= 0 or left > a[row + c.LONGEST] + a[row + c.REST]:
            a[row + c.USED] = 0
            return 0
        return left

    def driven(self, now: int) -> bool:
        """Whether any coil is on."""
        self._end_pulses(now)
        return self.cells[c.DRIVEN] != 0

    def _end_pulses(self, now: int) -> None:
        a = self.cells
        if not a[c.DRIVEN]:
            return
        for coil in range(a[c.COILS]):
            row = c.HEAD + coil * c.COIL
            if a[row + c.STATE] == c.PULSED and ticks.diff(a[row + c.END], now) <= 0:
                self._release(row)

    def _release(self, row: int) -> None:
        a = self.cells
        a[row + c.STATE] = c.OFF
        a[c.AMPERES] -= a[row + c.CURRENT]
        a[c.DRIVEN] &= ~a[row + c.DRIVE]

    def _cool(self, row: int, now: int) -> None:
        a = self.cells
        past = ticks.diff(now, a[row + c.HEAT_AT])
        a[row + c.HEAT_AT] = now
        if past < 0 or past > c.FARTHEST:
            past = c.FARTHEST
        a[row + c.HEAT] = max(0, a[row + c.HEAT] - past * a[row + c.COOLS])

    # Reflexes --------------------------------------------------------------------------------

    def begin(self, now: int) -> None:
        """The clock starts here: coils are half hot now."""
        for coil in range(self.cells[c.COILS]):
            self.cells[c.HEAD + coil * c.COIL + c.HEAT_AT] = now

    def renew(self, armed: bool, now: int) -> None:
        """The rules are alive: reflexes may act for another lease, if they may act at all."""
        self.cells[c.LEASE_END] = ticks.add(now, c.LEASE_MS)
        self.cells[c.ARMED] = 1 if armed else 0
        if not armed:
            self._drop(now)

    def armed(self, now: int) -> bool:
        """Whether reflexes may act; flippers fall when the lease is over."""
        left = ticks.diff(self.cells[c.LEASE_END], now)
        if self.cells[c.ARMED] and not 0 < left <= c.LEASE_MS:
            self.cells[c.ARMED] = 0
            self._drop(now)
        return self.cells[c.ARMED] != 0

    def contact(self, switch: int, closed: int, now: int) -> None:
        """A contact changed, before any debounce."""
        role = self.cells[self.cells[c.AT_ROLES] + switch]
        if role >= c.BUTTON_ROLE:
            for i in range(self.cells[c.FLIPPERS]):
                row = self.cells[c.AT_FLIPPERS] + i * c.FLIPPER_ROW
                if self.cells[row + c.BUTTON] == switch:
                    self._button(row, closed, now)
                elif self.cells[row + c.STROKE] == switch:
                    self._stroke(row, closed, now)
        elif role:
            self._kick(self.cells[c.AT_KICKS] + (role - 1) * c.KICK, closed, now)

    def tick(self, now: int) -> None:
        """What time brings: pulses end, the lease lapses, a ball that rests on a switch is kicked."""
        self._end_pulses(now)
        armed = self.armed(now)
        a = self.cells
        for i in range(a[c.KICKS]):
            row = a[c.AT_KICKS] + i * c.KICK
            if a[row + c.RESTING_ON] and ticks.diff(a[row + c.REFIRE_AT], now) <= 0:
                self._refire(row, armed, now)

    def due(self, now: int) -> int:
        """Milliseconds until a switch that is rested on matters, −1 when none is."""
        a = self.cells
        best = -1
        for i in range(a[c.KICKS]):
            row = a[c.AT_KICKS] + i * c.KICK
            if a[row + c.RESTING_ON]:
                left = max(0, ticks.diff(a[row + c.REFIRE_AT], now))
                if best < 0 or left < best:
                    best = left
        return best

    def _kick(self, row: int, closed: int, now: int) -> None:
        a = self.cells
        a[row + c.CLOSED] = closed
        if not closed:
            a[row + c.OPENED] = now
            a[row + c.OPEN_ONCE] = 1
            a[row + c.RESTING_ON] = 0
            return
        if a[row + c.OPEN_ONCE]:
            still = ticks.diff(now, a[row + c.OPENED])
            if 0 <= still < (c.QUIET_MS if a[row + c.DISARMED] else c.REARM_MS):
                return
        a[row + c.DISARMED] = 0
        a[row + c.TURNS] = 0
        if a[row + c.LOCKED]:
            if 0 < ticks.diff(a[row + c.LOCK_END], now) <= a[row + c.LOCKOUT]:
                return
            a[row + c.LOCKED] = 0
        if self.armed(now):
            self._strike(row, now)

    def _strike(self, row: int, now: int) -> None:
        a = self.cells
        a[row + c.RESTING_ON] = 1
        a[row + c.REFIRE_AT] = ticks.add(now, c.REFIRE_MS)
        past = ticks.diff(now, a[row + c.STORM_AT])
        a[row + c.STORM_AT] = now
        a[row + c.STORM] = max(0, a[row + c.STORM] - past) if past >= 0 else 0
        if a[row + c.STORM] + c.STORM_COST > c.STORM_MOST:
            self._report(c.REFUSED, a[row + c.KICK_COIL], STORM)
        elif not self.fire(a[row + c.KICK_COIL], a[row + c.KICK_MS], now):
            a[row + c.STORM] += c.STORM_COST
            a[row + c.LOCK_END] = ticks.add(now, a[row + c.LOCKOUT])
            a[row + c.LOCKED] = 1

    def _refire(self, row: int, armed: bool, now: int) -> None:
        a = self.cells
        a[row + c.RESTING_ON] = 0
        if not armed:
            return
        if a[row + c.TURNS] == c.REFIRES:
            a[row + c.DISARMED] = 1
            self._report(c.REFUSED, a[row + c.KICK_COIL], RESTED_ON)
            return
        a[row + c.TURNS] += 1
        self._strike(row, now)

    def _button(self, row: int, closed: int, now: int) -> None:
        a = self.cells
        if not closed:
            if a[row + c.UP]:
                self._lower(row, now)
        elif self.armed(now) and not self.fire(a[row + c.STRONG], a[row + c.STRONG_MS], now):
            a[row + c.UP] = 1
            a[row + c.STROKE_SEEN] = 0
            self.fire(a[row + c.HOLDING], c.HOLD, now)

    def _stroke(self, row: int, closed: int, now: int) -> None:
        """The end of the stroke cuts the strong winding; pushed back down it comes again, not too often."""
        a = self.cells
        if not a[row + c.UP]:
            return
        if closed:
            a[row + c.STROKE_SEEN] = 1
            self.off(a[row + c.STRONG], now)
        elif a[row + c.STROKE_SEEN] and self.armed(now):
            if a[row + c.REPULSED] and 0 <= ticks.diff(now, a[row + c.REPULSE_AT]) < c.REPULSE_MS:
                return
            if not self.fire(a[row + c.STRONG], a[row + c.STRONG_MS], now):
                a[row + c.REPULSED] = 1
                a[row + c.REPULSE_AT] = now

    def _lower(self, row: int, now: int) -> None:
        self.cells[row + c.UP] = 0
        self.off(self.cells[row + c.STRONG], now)
        self.off(self.cells[row + c.HOLDING], now)

    def _drop(self, now: int) -> None:
        for i in range(self.cells[c.FLIPPERS]):
            row = self.cells[c.AT_FLIPPERS] + i * c.FLIPPER_ROW
            if self.cells[row + c.UP]:
                self._lower(row, now)

    # Reports ---------------------------------------------------------------------------------

    def _report(self, what: int, coil: int, value: int) -> None:
        a = self.cells
        if a[c.RING_HELD] == c.RING:
            a[c.RING_LOST] += 1
            return
        at = a[c.AT_RING] + ((a[c.RING_FIRST] + a[c.RING_HELD]) % c.RING) * c.REPORT
        a[at] = what
        a[at + 1] = coil
        a[at + 2] = value
        a[c.RING_HELD] += 1

    def first(self) -> int:
        """Where the oldest report stands in the cells (what, coil, value), −1 when there is none."""
        a = self.cells
        return a[c.AT_RING] + a[c.RING_FIRST] * c.REPORT if a[c.RING_HELD] else -1

    def drop_first(self) -> None:
        """Forget the oldest report."""
        a = self.cells
        a[c.RING_FIRST] = (a[c.RING_FIRST] + 1) % c.RING
        a[c.RING_HELD] -= 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
