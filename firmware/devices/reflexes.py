"""Reflexes: switch to coil without the rules, under a lease that the rules renew.

What they do is in `coil_limiter.CoilLimiter`; this carries contacts and time to it. A board that runs
reflexes by its own scan is only told that the rules are alive.
"""

from firmware.devices.coils import Coils
from firmware.devices.native.limiter import LEASE_MS
from firmware.play.playfield import Playfield

LEASE = LEASE_MS


class Reflexes:
    """Bumpers, slings and flippers of one machine."""

    def __init__(self, play: Playfield, coils: Coils) -> None:
        self._play = play
        self._coils = coils
        self._timers = play.timers
        self._clock = play.clock(self._tick)

    def renew(self) -> None:
        """The rules are alive: allow reflexes for another LEASE ms, if they are armed at all."""
        self._coils.limiter.renew(self._play.armed, self._timers.now)
        self._coils.drain()

    def armed(self) -> bool:
        """Whether the lease runs."""
        armed = self._coils.limiter.armed(self._timers.now)
        self._coils.drain()
        return armed

    def change(self, switch: int, closed: int) -> None:
        """A raw contact change, before any debounce."""
        self._coils.limiter.contact(switch, closed, self._timers.now)
        self._after()

    def _tick(self) -> None:
        self._coils.limiter.tick(self._timers.now)
        self._after()

    def _after(self) -> None:
        self._coils.drain()
        wait = self._coils.limiter.due(self._timers.now)
        if wait < 0:
            self._clock.stop()
        else:
            self._clock.start(wait)
