"""Coils that fired, awards, changes of lamps and new cues, read from the view's growing history."""

from collections import deque
from typing import NamedTuple

from simulator.desk.machine import View

SHOWN_MS = 140  # how long a coil's stroke stays visible, so that a pulse of 20 ms is seen
AWARDS = 14


class Award(NamedTuple):
    """One award, or `times` equal ones in a row; `points` = `base` × `factor`; `at`: place in the history."""

    ms: int
    player: int
    name: str
    base: int
    factor: int
    points: int
    times: int = 1
    at: int = 0


class Recent:
    """Follows the history of one view."""

    def __init__(self) -> None:
        self.awards: deque[Award] = deque(maxlen=AWARDS)
        self.ledger: list[Award] = []  # every payment since the machine was switched on
        self.times: dict[str, int] = {}  # how often each coil fired
        self.changed: dict[tuple[str, str], int] = {}  # by kind and name of lamp or coil: its last event
        self._read = 0
        self._base = 0
        self._player = 0
        self._fired: dict[str, tuple[int, int]] = {}
        self.fired: list[str] = []  # coils that the last update saw switched on

    def update(self, view: View) -> list[str]:
        """Read what is new in the history; returns the names of the new cues."""
        cues = []
        self.fired = []
        for at, event in enumerate(view.history[self._read :], self._read):
            if event.kind in ("coil", "lamp"):
                self.changed[event.kind, event.name] = at
            if event.kind == "coil":
                self._coil(event.name, event.value, event.ms)
            elif event.kind == "event" and event.name == "ball.started":
                self._player = event.value // 16
            elif event.kind == "base":
                self._base = event.value
            elif event.kind == "award":
                self._award(event.name, event.value, event.ms, at)
            elif event.kind == "cue":
                cues.append(event.name)
        self._read = len(view.history)
        return cues

    def fired_lately(self, coil: str, now_ms: int) -> bool:
        """Whether the coil is on, or was within the last SHOWN_MS."""
        return self._within(coil, now_ms, SHOWN_MS)

    def is_on(self, coil: str, now_ms: int) -> bool:
        """Whether the coil is on now."""
        return self._within(coil, now_ms, 0)

    def _within(self, coil: str, now_ms: int, least_ms: int) -> bool:
        since, value = self._fired.get(coil, (0, 0))
        return value < 0 or (value > 0 and now_ms - since < max(value, least_ms))

    def _coil(self, name: str, value: int, ms: int) -> None:
        since, last = self._fired.get(name, (0, 0))
        if value:
            self.fired.append(name)
            self.times[name] = self.times.get(name, 0) + 1
            self._fired[name] = (ms, value)
        elif last:
            self._fired[name] = (since, max(1, min(ms - since, last) if last > 0 else ms - since))

    def _award(self, name: str, points: int, ms: int, at: int) -> None:
        base = self._base or points
        factor = points // base if base else 1
        award = Award(ms, self._player, name, base, factor, points, at=at)
        self.ledger.append(award)
        last = self.awards[-1] if self.awards else None
        if last and last[1:6] == award[1:6]:
            self.awards[-1] = award._replace(times=last.times + 1)  # with the place of the newest
        else:
            self.awards.append(award)
        self._base = 0
