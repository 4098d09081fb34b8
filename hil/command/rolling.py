"""A game at the desk whose balls roll: the plunger and the cabinet are moved by hand, all else by coils."""

from collections.abc import Callable, Sequence
from pathlib import Path

from firmware.base.errors import ScriptError
from hil.bench.run_clock import RunClock
from hil.command.at_desk import DeskConsole, DeskSetup, PlayedMachine
from simulator.drawing.drawing import Drawing
from simulator.table import materials
from simulator.table.rolling_table import RollingTable
from simulator.table.watcher import Press, Watcher

LOOK_MS = 4  # between two looks of a simulated player
START_MS = 2500  # from the end of a game to the next
TAP_MS = 300  # between the contacts that start one
STARTS = ("coin.1", "start")


class RollingMachine(PlayedMachine):
    """A running console whose balls roll on a table."""

    rolls = True

    def __init__(self, setup: DeskSetup, clock: RunClock, target: DeskConsole, table: RollingTable) -> None:
        super().__init__(setup.game, clock, target, table, setup.vocabulary)
        self.table = table
        self.clock = clock

    def run_to(self, until_ms: int) -> None:
        """Let virtual time run to `until_ms`, the balls with it."""
        super().run_to(until_ms)
        self.table.run_to(self.now)

    def shoot(self, shot: str) -> None:
        """Pull the plunger with the key of a shot from the shooter lane. Raises ScriptError for any other."""
        lanes = {lane.device for lane in self.table.layout.lanes}
        if self.table.book.shot(shot).start not in lanes:
            raise ScriptError("the ball rolls, and the flippers shoot; with --shots each key is a whole shot")
        self.table.pull(self.now)

    def end_shot(self, shot: str) -> None:
        """Let the plunger go."""
        self.table.let_go(self.now)

    def nudge(self, direction: str) -> None:
        """Push the cabinet: "left", "right" or "up"."""
        self.table.nudge(direction, self.now)


class WatchedMachine(RollingMachine):
    """A machine that a simulated player plays, who starts a new game when one is over."""

    def __init__(
        self, setup: DeskSetup, clock: RunClock, target: DeskConsole, table: RollingTable, seed: int
    ) -> None:
        super().__init__(setup, clock, target, table)
        self._player = watcher(self, self.switch, self._plunge, seed)
        self._taps = [name for name in STARTS if name in setup.vocabulary.names.switches]
        self._tap_ms = START_MS
        self._tapped: list[str] = []

    def run_to(self, until_ms: int) -> None:
        """Let virtual time run to `until_ms`, while the player looks and plays."""
        while self.now < until_ms:
            super().run_to(min(until_ms, self.now + LOOK_MS))
            self._player.look(self.now)
            if self.now >= self._tap_ms:
                self._start()

    def _start(self) -> None:
        """A coin, then start, one after the other, unless a game is on."""
        for name in self._tapped:
            self.switch(name, False)
        left = [] if self.view.playing else self._taps[len(self._tapped) :]
        self._tapped = [*self._tapped, left[0]] if left else []
        for name in self._tapped[-1:]:
            self.switch(name, True)
        self._tap_ms = self.now + (TAP_MS if left else START_MS)

    def _plunge(self, down: bool) -> None:
        if down:
            self.table.pull(self.now)
        else:
            self.table.let_go(self.now)


def watcher(machine: RollingMachine, press: Press, plunge: Callable[[bool], None], seed: int) -> Watcher:
    """A simulated player for a machine."""
    buttons = {flipper.name: flipper.button for flipper in machine.table.drawing.machine.flippers}
    return Watcher(machine.table, buttons, press, plunge, seed)


def table_of(setup: DeskSetup, seed: int, slope: float = materials.SLOPE) -> RollingTable:
    """The table of a game. Raises GameError: wrong drawing or routes."""
    return RollingTable(*parts_of(setup), seed, slope)


def parts_of(setup: DeskSetup) -> tuple[object, Sequence[str], Sequence[str], Drawing]:
    """Routes, switches, coils and drawing of a game: what a table is made of. Raises GameError."""
    drawing = setup.drawing
    names = setup.vocabulary.names
    return setup.game.tables("routes"), names.switches, names.coils, drawing


def switch_on(
    setup: DeskSetup,
    seed: int,
    settings: dict[str, int],
    slope: float = materials.SLOPE,
    kept: Path | None = None,
    watched: bool = False,
) -> RollingMachine:
    """A machine that was just switched on, with balls that roll; `kept`: the file of persistent values.

    `watched`: a simulated player plays it.
    """
    table = table_of(setup, seed, slope)
    clock, target = setup.switch_on(table, seed, settings, kept)
    if watched:
        return WatchedMachine(setup, clock, target, table, seed)
    return RollingMachine(setup, clock, target, table)
