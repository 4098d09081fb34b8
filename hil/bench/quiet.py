"""A simulated game without records: what is counted is the same, in a fraction of the time.

Nothing is decoded, hashed or judged by the standing checks; a season plays some of its games with records.
"""

import functools
import gc
import hashlib
import threading
from collections.abc import Sequence
from typing import cast

from hil.bench.evidence import Evidence
from hil.bench.judge import balls_accounted_for
from hil.bench.names import Names, of_console
from hil.bench.quiet_clock import QuietClock
from hil.bench.quiet_console import Named, QuietConsole, numbers
from hil.bench.rewind import NotRewindable, Rewind
from hil.bench.run_clock import RunClock
from hil.bench.season import BALL_STARTED, LOOK_MS, SimulatedGame
from hil.bench.view import View
from hil.games import Game

HASH = type(hashlib.sha256())  # a tally hashes nothing, so its hash never changes


class QuietMachine:
    """One console of a game, built once and put back to its beginning for each game that is played."""

    def __init__(self, game: Game, names: Names) -> None:
        self.names = names
        self.folder = game.folder
        self.module = game.module
        self.console = QuietConsole(game.module, names)
        self._is_new = True
        try:
            self._rewind: Rewind | None = Rewind(self.console, (HASH,))
        except NotRewindable:  # such as a generator: then each game has a console of its own
            self._rewind = None

    def renew(self) -> QuietConsole:
        """The console, not yet begun."""
        if self._rewind is not None:
            self._rewind.rewind()
        elif not self._is_new:
            self.console = QuietConsole(self.module, self.names)
        self._is_new = False
        return self.console


@functools.lru_cache(maxsize=8)
def machine_of(game: Game, thread: int) -> QuietMachine:
    """The machine of a game, built once for each thread: a backend of joblib's may play in several."""
    machine = QuietMachine(game, of_console(game.console()))
    gc.collect()
    gc.freeze()  # what is there by now stays: garbage of later games is found sooner, and in less time
    return machine


class QuietView:
    """The part of a View that a game reads, of a console itself."""

    def __init__(self, machine: QuietMachine) -> None:
        self.names = machine.names
        self.tally = machine.console.trace
        self._console = console = machine.console
        self.switches = Named(numbers(tuple(self.names.switches)), console.play.closed)
        self.lamps = Named(numbers(tuple(self.names.lamps)), console.play.lamps.shown)

    @property
    def playing(self) -> bool:
        """Whether a game is in progress."""
        return self.tally.playing

    @property
    def players(self) -> int:
        """How many play."""
        return self.tally.players

    @property
    def player(self) -> int:
        """Who plays, from 1."""
        return self.tally.player

    @property
    def paid(self) -> int:
        """Points of every award so far."""
        return self.tally.paid

    @property
    def scores(self) -> dict[int, int]:
        """The sum of each player's awards."""
        return self.tally.scores

    @property
    def states(self) -> dict[str, str]:
        """The state of each region now."""
        leaf = self._console.engine.leaf
        return {region: self.names.states[leaf[chart]] for chart, region in enumerate(self.names.resting)}


class QuietGame(SimulatedGame):
    """A game that is played as a SimulatedGame is, by the same shots at the same times, without records."""

    def _switch_on(self) -> None:
        machine = machine_of(self._game, threading.get_ident())
        machine.renew()
        self.quiet_view = QuietView(machine)
        self.quiet_clock = QuietClock(machine.console, self._plant, self.limit_ms, machine.folder)
        self.view = cast(View, self.quiet_view)
        self.clock = cast(RunClock, self.quiet_clock)

    def _wait(self) -> None:
        """Run until something can be decided, then on to the next of the times that are LOOK_MS apart."""
        clock = self.quiet_clock
        begun, ready_at, last = clock.now, self._ready_at, clock.limit_ms + 1
        while clock.now < last:
            clock.run_on(max(ready_at, clock.now + 1) if self._has_waiting() else last)
            if not self.view.playing or self._can_plunge():
                break
            if clock.now >= ready_at and self._has_waiting():
                break
        clock.run_to(begun + max(1, -(-(clock.now - begun) // LOOK_MS)) * LOOK_MS)

    def _judge(self, balls: int) -> None:
        played, tally, names = self._played, self.quiet_view.tally, self.view.names
        played.judged = False
        played.awards = _counted(names.awards, tally.awards)
        played.points = {name: tally.points[names.awards.index(name)] for name in played.awards}
        played.cues = _counted(names.cues, tally.cues)
        played.events = _counted(names.events, tally.events)
        played.balls = played.events.get(BALL_STARTED, 0)
        played.ball_ms = tally.ball_ms[:]
        for row, entered in zip(names.rows, tally.entered, strict=True):
            for leaf, count in (entered or {}).items():
                name = f"{row.region}/{names.states[leaf]}"
                played.entered[name] = played.entered.get(name, 0) + count
        self.evidence = Evidence(self.view, self._game.wiring, self.clock.now, self._plant, balls)
        played.findings = balls_accounted_for(self.evidence)
        played.findings += self._not_in_attract()


def _counted(names: Sequence[str], counts: list[int]) -> dict[str, int]:
    return {names[at]: count for at, count in enumerate(counts) if count}
