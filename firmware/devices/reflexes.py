"""Reflexes: switch to coil without the rules, under a lease that the rules renew.

What they do is in `coil_limiter.CoilLimiter`; this carries contacts and time to it. A board that runs
reflexes by its own scan is only told that the rules are alive.
"""

from firmware.devices.coils import Coils
from firmware.devices.native.limiter import AT_ROLES, LEASE_MS
from firmware.play.rule_context import RuleContext

LEASE = LEASE_MS
RENEW = 100  # ms after which a lease that runs is renewed
NEVER = -RENEW


class Reflexes:
    """Bumpers, slings and flippers of one machine.

    `allowed`: the last lease was one. `acts`: by switch, whether it has a reflex.
    """

    def __init__(self, play: RuleContext, coils: Coils) -> None:
        self._play = play
        self._coils = coils
        self._timers = play.timers
        self._clock = play.clock(self._tick)
        self.allowed = False
        self._renewed = NEVER
        state = self._coils.limiter.state
        at = state[AT_ROLES]
        self.acts = bytearray([state[at + switch] != 0 for switch in range(len(play.closed))])

    def renew(self) -> None:
        """The rules are alive: allow reflexes for another LEASE ms, if they are armed at all."""
        self.allowed = self._play.armed
        self._renewed = self._timers.now
        self._coils.limiter.renew(self.allowed, self._renewed)
        self._coils.drain()

    def is_renewal_due(self) -> bool:
        """Whether `renew` is due: some time has passed, or whether they are armed has changed."""
        return self._play.armed != self.allowed or not 0 <= self._timers.now - self._renewed < RENEW

    def armed(self) -> bool:
        """Whether the lease runs."""
        armed = self._coils.limiter.armed(self._timers.now)
        self._coils.drain()
        return armed

    def change(self, switch: int, closed: int) -> None:
        """A raw contact change, before any debounce, of a switch that `acts`."""
        self._coils.limiter.contact(switch, closed, self._timers.now)
        self._after()

    def _tick(self) -> None:
        if self.is_renewal_due():
            self.renew()
        self._coils.limiter.tick(self._timers.now)
        self._after()

    def _after(self) -> None:
        self._coils.drain()
        wait = self._coils.limiter.due(self._timers.now)
        if wait < 0:
            self._clock.stop()
        else:
            self._clock.start(wait)
