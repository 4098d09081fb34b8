"""A game at the desk whose balls roll: the plunger and the cabinet are moved by hand, all else by coils."""

from collections.abc import Sequence
from pathlib import Path

from firmware.base.errors import ScriptError, UsageError
from hil.bench.run_clock import RunClock
from hil.command import drawn
from hil.command.at_desk import DeskConsole, DeskSetup, PlayedMachine
from simulator.drawing.drawing import Drawing
from simulator.table import materials
from simulator.table.rolling_table import RollingTable


class RollingMachine(PlayedMachine):
    """A running console whose balls roll on a table."""

    def __init__(self, setup: DeskSetup, clock: RunClock, target: DeskConsole, table: RollingTable) -> None:
        super().__init__(setup.game, clock, target, table, setup.vocabulary)
        self.table = table
        self.clock = clock

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


def table_of(setup: DeskSetup, seed: int, slope: float = materials.SLOPE) -> RollingTable:
    """The table of a game. Raises GameError: wrong drawing or routes; UsageError: wrong slope."""
    if not materials.LEAST_SLOPE <= slope <= materials.MOST_SLOPE:
        least, most = materials.LEAST_SLOPE, materials.MOST_SLOPE
        raise UsageError(f"a playfield slopes by {least:g} to {most:g} degrees, not {slope:g}")
    return RollingTable(*parts_of(setup), seed, slope)


def parts_of(setup: DeskSetup) -> tuple[object, Sequence[str], Sequence[str], Drawing]:
    """Routes, switches, coils and drawing of a game: what a table is made of. Raises GameError."""
    drawing = drawn.drawing(setup.game)
    drawing.require_fit()
    names = setup.vocabulary.names
    return setup.game.tables("routes"), names.switches, names.coils, drawing


def switch_on(
    setup: DeskSetup,
    seed: int,
    settings: dict[str, int],
    slope: float = materials.SLOPE,
    kept: Path | None = None,
) -> RollingMachine:
    """A machine that was just switched on, with balls that roll; `kept`: the file of persistent values."""
    table = table_of(setup, seed, slope)
    clock, target = setup.switch_on(table, seed, settings, kept)
    return RollingMachine(setup, clock, target, table)
