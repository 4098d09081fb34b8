"""Reflexes: a switch fires a coil without the rules, as long as the rules renew a lease.

`coil_limiter.CoilLimiter` runs the reflexes; this module passes contacts and time to it. Where a board runs
them in its own scan, this module only renews the lease.
"""

from firmware.devices.coils import Coils
from firmware.devices.native.limiter import AT_ROLES, LEASE_MS
from firmware.play.rule_context import RuleContext

LEASE = LEASE_MS
RENEW = 100  # ms after which a running lease is renewed
NEVER = -RENEW


class Reflexes:
    """Bumpers, slings and flippers of one machine.

    `allowed`: whether the last renewal allowed reflexes. `acts`: by switch, whether it has a reflex.
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
        """Renew the lease: allow armed reflexes for another LEASE ms; end it when they are disarmed."""
        self.allowed = self._play.armed
        self._renewed = self._timers.now
        self._coils.limiter.renew(self.allowed, self._renewed)
        self._coils.drain()

    def is_renewal_due(self) -> bool:
        """Whether `renew` is due: RENEW ms have passed, or the rules have armed or disarmed reflexes."""
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
