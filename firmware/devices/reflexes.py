"""Reflexes: switch to coil without the rules, under a lease that the rules renew.

This is the plain twin of what a board does in its scan: the same algorithm on given times.
"""

from array import array

from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.charts.near import meant
from firmware.devices.coils import Coils
from firmware.play.playfield import Playfield
from firmware.play.requests import HOLD

LEASE = 500
REARM = 5  # a contact must be open for so long before its reflex fires again


class Reflexes:
    """Bumpers, slings and flippers of one machine."""

    def __init__(self, play: Playfield, coils: Coils) -> None:
        wiring = play.wiring
        self._play = play
        self._coils = coils
        self._timers = play.timers
        self._lease_end = 0
        self._leased = False
        names = tuple([row[0] for row in wiring.COILS])
        self._kicks = [
            (play.switch(row[0], "REFLEXES"), _coil(names, row[1]), row[2], row[3]) for row in wiring.REFLEXES
        ]
        self._flippers = [
            (
                play.switch(row[0], "FLIPPERS"),
                play.switch(row[1], "FLIPPERS"),
                _coil(names, row[2]),
                _coil(names, row[3]),
                row[4],
            )
            for row in wiring.FLIPPERS
        ]
        self._locked = array("i", [0] * len(self._kicks))
        self._locked_on = bytearray(len(self._kicks))
        self._opened = array("i", [0] * len(self._kicks))
        self._open_once = bytearray(len(self._kicks))
        self._up = bytearray(len(self._flippers))

    def renew(self) -> None:
        """The rules are alive: allow reflexes for another LEASE ms, if they are armed at all."""
        self._leased = self._play.armed
        self._lease_end = ticks.add(self._timers.now, LEASE)
        if not self._leased:
            self.drop()

    def armed(self) -> bool:
        """Whether the lease runs."""
        if self._leased and ticks.diff(self._lease_end, self._timers.now) <= 0:
            self._leased = False
            self.drop()
        return self._leased

    def drop(self) -> None:
        """Flippers fall."""
        for i in range(len(self._flippers)):
            if self._up[i]:
                self._lower(i)

    def change(self, switch: int, closed: int) -> None:
        """A raw contact change, before any debounce."""
        for i in range(len(self._kicks)):
            if self._kicks[i][0] == switch:
                self._kick(i, closed)
                return
        for i in range(len(self._flippers)):
            if self._flippers[i][0] == switch:
                self._button(i, closed)
            elif self._flippers[i][1] == switch and closed and self._up[i]:
                self._coils.off(self._flippers[i][2])

    def _kick(self, i: int, closed: int) -> None:
        now = self._timers.now
        if not closed:
            self._opened[i] = now
            self._open_once[i] = 1
            return
        if self._open_once[i] and ticks.diff(now, self._opened[i]) < REARM:
            return
        if self._locked_on[i]:
            if ticks.diff(now, self._locked[i]) < 0:
                return
            self._locked_on[i] = 0
        _switch, coil, ms, lockout = self._kicks[i]
        if self.armed() and self._coils.fire(coil, ms):
            self._locked[i] = ticks.add(now, lockout)
            self._locked_on[i] = 1

    def _button(self, i: int, closed: int) -> None:
        if closed and self.armed():
            _button, _eos, strong, hold, ms = self._flippers[i]
            if self._coils.fire(strong, ms):
                self._up[i] = 1
                self._coils.fire(hold, HOLD)
        elif not closed and self._up[i]:
            self._lower(i)

    def _lower(self, i: int) -> None:
        self._up[i] = 0
        self._coils.off(self._flippers[i][2])
        self._coils.off(self._flippers[i][3])


def _coil(names: "tuple[str, ...]", name: str) -> int:
    if name not in names:
        raise GameError("coil '" + name + "' of a reflex is not wired" + meant(name, list(names)))
    return names.index(name)
