"""Connects a console and its plant to the desk, in this process and in virtual time."""

from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from boards.unix.file_store import FileStore
from firmware.base.trace import RECORD
from firmware.charts.model import Region
from firmware.console import Console
from hil.bench.run_clock import RunClock
from hil.bench.scripts.vocabulary import Vocabulary, of_game
from hil.bench.targets.desk import DeskTarget
from hil.bench.view import View
from hil.command import drawn
from hil.command.carry import carry_over
from hil.command.causes import CauseConsole
from hil.command.inside import ConsoleInside
from hil.command.run_machine import DeskPlant as DeskPlant
from hil.command.run_machine import RunMachine
from hil.games import Game, Store
from hil.reports.diagram import of_region
from simulator.drawing.drawing import Drawing
from simulator.plant import Plant

if TYPE_CHECKING:
    from simulator.desk.desk import Desk
    from simulator.desk.machine import DeskMachine, Past

LONGEST_GAME_MS = 1 << 29  # a tick difference is valid up to here


class StopTimeReached(Exception):
    """The run reached the time of the requested picture."""


class DeskConsole(DeskTarget):
    """The target behind the window. `stop_ms`: run no further; `store`: where persistent values are saved."""

    def __init__(self, game: Game, stop_ms: int | None = None, store: Store | None = None) -> None:
        super().__init__(game)
        self._kind = CauseConsole
        self._store = store
        self._stop_ms = stop_ms
        self._given: tuple[int, dict[str, int]] = (1, {})
        self._reached = 0

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """As the desk target; with a store the console loads from it, and gets date and time of day."""
        super().start(seed, settings)
        self._given = seed, settings
        if self._store:
            self._console = self._game.console(
                seed=seed, settings=settings, store=self._store, kind=self._kind
            )
            now = datetime.now()
            date = (now.year * 100 + now.month) * 100 + now.day
            self._console.ambient.set_time(date, now.hour * 60 + now.minute, 0)

    def change(self, game: Game) -> tuple[bytes, list[str]]:
        """Go on as a changed game, with the same switches, lamps and coils.

        Returns what its console recorded before it took over, and what could not be kept.
        Raises GameError, and changes nothing, when the game does not fit together.
        """
        seed, settings = self._given
        known = {row[0] for row in game.module.SETTINGS}
        fitting = {name: value for name, value in settings.items() if name in known}
        changed = game.console(seed=seed, settings=fitting, kind=self._kind)
        begun = _records(changed)
        lost = carry_over(
            self._console, self._game.console(seed=seed, settings=settings, kind=self._kind), changed
        )
        self._console, self._game = changed, game
        return begun, lost

    @property
    def console(self) -> CauseConsole:
        """The console of the present run."""
        assert isinstance(self._console, CauseConsole)
        return self._console

    def advance(self, until_ms: int) -> int:
        """As the desk target. Raises StopTimeReached once the records up to that time were fetched."""
        if self._stop_ms is not None:
            if self._reached >= self._stop_ms:
                raise StopTimeReached
            until_ms = min(until_ms, self._stop_ms)
        self._reached = super().advance(until_ms)
        return self._reached


def _records(console: Console) -> bytes:
    """Take every record out of a console's trace."""
    buffer = bytearray(RECORD * console.trace.held())
    console.trace.take(buffer, 0, console.trace.held())
    return bytes(buffer)


class PlayedMachine(RunMachine):
    """A running console with its plant, as simulator.desk.machine.DeskMachine describes it."""

    def __init__(
        self, game: Game, clock: RunClock, target: DeskConsole, plant: DeskPlant, vocabulary: Vocabulary
    ) -> None:
        super().__init__(game, clock, plant, vocabulary)
        self.inside = ConsoleInside(game, target.console, clock.view)
        self._target = target

    @property
    def balls_a_game(self) -> int:
        """The operator's setting `balls`."""
        return int(self._target.console.settings.get("balls").value)

    def next_due(self) -> int | None:
        """When (ms) console or plant next have something to do; None: never."""
        wait = self._target.console.due()
        dues = [self._plant.due(), self.now + wait if wait >= 0 else None]
        return min((due for due in dues if due is not None), default=None)

    def change(self, setup: "DeskSetup") -> list[str]:
        """Go on as a changed game with the same wiring, ball routes and drawing; what could not be kept.

        Raises GameError, and changes nothing, when the game does not fit together.
        """
        begun, lost = self._target.change(setup.game)
        console = self._target.console
        charts = range(console.table.charts)
        states = {
            console.table.names[console.table.roots[chart]]: console.table.names[
                console.engine.leaf[chart]
            ].rpartition("/")[2]
            for chart in charts
        }
        self._clock.go_on_as(self._clock.view.of_changed_game(setup.vocabulary.names, states), begun)
        self.inside = ConsoleInside(setup.game, console, self._clock.view)
        self._debounce = setup.vocabulary.debounce
        return lost

    @property
    def is_serviced(self) -> bool:
        """Whether the operator's pages are open."""
        return bool(self._target.console.pad.is_open())

    def windows(self) -> list[tuple[str, int, bool]]:
        """Open windows: name, ms left, whether their time is frozen."""
        return list(self._target.console.windows())

    def active(self, chart: str) -> list[str]:
        """The active states of a feature's chart, by the last part of their names."""
        engine, table = self._target.console.engine, self._target.console.table
        root = next(root for root in table.roots[: table.charts] if table.names[root] == chart)
        inside = [state for state in range(root + 1, table.end[root]) if engine.is_active(state)]
        return [table.names[state].rpartition("/")[2] for state in inside]


class DeskSetup:
    """One game prepared for the desk: its names, its plant, its drawing."""

    def __init__(self, game: Game) -> None:
        self.game = game
        self.vocabulary = of_game(game)
        self._names = self.vocabulary.names

    @cached_property
    def drawing(self) -> Drawing:
        """The game's drawing. Raises GameError when it does not fit the machine."""
        drawing = drawn.drawing(self.game)
        drawing.require_fit()
        return drawing

    def plant(self, seed: int, varied: bool) -> Plant:
        """A plant of this game; `varied` draws the shot options that nobody gives."""
        return Plant(self.game.tables("routes"), self._names.switches, self._names.coils, seed, varied=varied)

    def live(self, seed: int, settings: dict[str, int], kept: Path | None = None) -> PlayedMachine:
        """A machine that was just switched on, for whole shots; `kept`: the file of its persistent values."""
        plant = self.plant(seed, varied=True)
        clock, target = self.switch_on(plant, seed, settings, kept)
        return PlayedMachine(self.game, clock, target, plant, self.vocabulary)

    def switch_on(
        self, plant: DeskPlant, seed: int, settings: dict[str, int], kept: Path | None = None
    ) -> tuple[RunClock, DeskConsole]:
        """A console that was just switched on, with the clock that runs it and this plant."""
        target = DeskConsole(self.game, store=FileStore(str(kept), self.game.name) if kept else None)
        clock = RunClock(target, View(self._names), plant, LONGEST_GAME_MS)
        clock.start(seed, settings)
        return clock, target

    def desk(self, machine: "DeskMachine", past: "Past | None" = None) -> "Desk":
        """The desk around a machine; `past`: its recorded time.

        Raises GameError when the game's drawing or keys are wrong.
        """
        # Loaded only here: they need pygame, which a bench without a desk does not have.
        from simulator.desk.desk import Desk
        from simulator.desk.keymap import KeyMap
        from simulator.desk.sounds import Sounds

        host = self.game.host
        drawing = self.drawing
        keymap = KeyMap(self.game.tables("keys"), self._names.switches, self.vocabulary.shots)
        has_tones = (self.game.folder / "host" / "tones.py").is_file()
        sounds = Sounds(host("tones") if has_tones else None)
        features = self.game.console().play.features
        diagrams = [of_region(Region(f.name, f, f.chart, f.states)) for f in features]
        displays = [(display.cells, display.segments) for display in self._names.displays]
        return Desk(machine, drawing, keymap, sounds, diagrams, displays, past)
