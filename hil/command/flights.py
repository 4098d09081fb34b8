"""A game's map of shots: flights from each flipper, their windows, what is never met, and a picture."""

import math
from pathlib import Path
from typing import TYPE_CHECKING

from rich.progress import track

from firmware.base.errors import UsageError
from hil.command import season_player
from hil.command.at_desk import DeskSetup
from hil.command.rolling import parts_of
from hil.command.shot_file import DROPS, Row, drawing_mark
from simulator.met_shots import MetShots
from simulator.table.rolling_table import RollingTable
from simulator.table.shapes import Disc, Piece
from simulator.table.shot_map import BACK, DRAINED, Flight, Window, sweep, windows

if TYPE_CHECKING:
    from matplotlib.axes import Axes

COLOURS = 20
LINE = 0.5
BOLD = 2.0
INCHES = 9.0  # a flipper's picture


class Flights:
    """All flights of a game. `flown`: in order; those with drop targets up come first."""

    def __init__(self, setup: DeskSetup, step_ms: int, slope: float) -> None:
        self._game = setup.game
        self._parts = parts_of(setup)
        self._slope = slope
        self._step_ms = step_ms
        self._table = self._make()
        self._rows: list[tuple[bool | None, list[Flight]]] = []
        for down in (False, True) if self._table.drop_targets else (None,):
            flights = track(sweep(self._make, step_ms, bool(down)), "flights", transient=True)
            self._rows.append((down, list(flights)))

    @property
    def flown(self) -> list[Flight]:
        """Every flight."""
        return [flight for _, flights in self._rows for flight in flights]

    def windows(self) -> list[tuple[bool | None, Window]]:
        """The windows of time by what is met first; whether drop targets were down (None: there are none)."""
        rows = [(down, window) for down, row in self._rows for window in windows(row, self._step_ms)]
        return sorted(rows, key=lambda row: (row[1].name, row[1].result, row[1].flipper, row[1].first_ms))

    def rows(self) -> list[Row]:
        """The windows as lines of a file, with the shots of the game's routes that they are."""
        mark = drawing_mark(self._game)
        ways = {way.name: [name for name, _ in way.switches] for way in self._table.layout.ways}
        met = MetShots(self._table.book, ways)
        lost = season_player.sight(self._game).middle
        rows = []
        for down, one in self.windows():
            if one.result == DRAINED:
                shot = lost[0] if lost else ""
            else:
                shot = met.rolled_back(one.name) if one.result == BACK else met.made(one.name)
            case = self._game.name, mark, self._slope, one.flipper, one.feed, DROPS[down]
            ends = one.first_ms, one.first_ms + one.ms, shot, one.name, one.result, round(one.angle, 1)
            rows.append(Row(*case, *ends))
        return rows

    def never_met(self) -> list[str]:
        """Targets, lanes, ramps and holes on the playfield that no flight met, in the machine's order."""
        machine = self._table.drawing.machine
        met = {name for flight in self.flown for name in (*flight.contacts, flight.name)}
        home = next(device for device in machine.devices if device.name == machine.home)
        holes = {hole.name for hole in self._table.layout.holes}
        groups = [set(device.slots) for device in machine.devices if holes & set(device.slots)]
        for group in groups:
            if group & met:
                met |= group
        aimed = [name for name, switch in machine.switches.items() if switch.zone == "playfield"]
        return [name for name in (*aimed, *sorted(holes)) if name not in met and name not in home.slots]

    def draw(self, path: Path) -> None:
        """Draw the flights of each flipper. Raises UsageError: no matplotlib, or not writable."""
        try:
            from matplotlib.figure import Figure  # loaded only here: it takes a second
        except ImportError:
            raise UsageError("the picture needs matplotlib: pip install 'inlane[sums]'") from None
        flippers = [bat.name for bat in self._table.bats]
        figure = Figure(figsize=(INCHES * len(flippers), 2 * INCHES), layout="tight")
        for at, flipper in enumerate(flippers, 1):
            axes = figure.add_subplot(1, len(flippers), at)
            width, height = self._table.drawing.size
            axes.set(xlim=(0, width), ylim=(height, 0), aspect="equal", title=f"from {flipper}")
            for line in self._outlines():
                axes.plot(*zip(*line, strict=True), color="black", linewidth=1)
            self._draw_flights(axes, flipper)
        try:
            figure.savefig(path, dpi=70)
        except OSError as error:
            raise UsageError(f"the picture cannot be written: {error}", str(path)) from error

    def _draw_flights(self, axes: "Axes", flipper: str) -> None:
        """Every flight, thin; bold the one in the middle of each end's widest window, up to its far end."""
        from matplotlib import colormaps  # loaded only here: it takes a second

        ends: dict[str, list[Flight]] = {}
        for flight in self.flown:
            if flight.flipper == flipper and flight.path:
                axes.plot(*zip(*flight.path, strict=True), color="gray", alpha=0.25, linewidth=LINE)
                if flight.name:
                    ends.setdefault(f"{flight.name} {flight.result}", []).append(flight)
        shades = colormaps["tab20"]
        for at, (what, flights) in enumerate(sorted(ends.items())):
            path = self._typical(flights).path
            far = path[: 1 + path.index(min(path, key=lambda point: point[1]))]
            axes.plot(*zip(*far, strict=True), color=shades(at % COLOURS), linewidth=BOLD, label=what)
        axes.legend(loc="lower center", fontsize=7, ncols=3)

    def _typical(self, flights: list[Flight]) -> Flight:
        """The flight in the middle of the widest window that these make."""
        widest = max(windows(flights, self._step_ms), key=lambda window: window.ms)
        middle = widest.first_ms + (widest.ms // self._step_ms // 2) * self._step_ms
        return next(one for one in flights if (one.feed, one.at_ms) == (widest.feed, middle))

    def _outlines(self) -> list[list[tuple[float, float]]]:
        layout = self._table.layout
        every = [solid for solid, _ in layout.walls] + list(layout.gates)
        every += [solid for touched in layout.touched for solid in touched.solids]
        every += [Disc(hole.middle, hole.radius) for hole in layout.holes]
        every += [piece for rollover in layout.rollovers for piece in rollover.pieces]
        return [_points(solid) for solid in every]

    def _make(self) -> RollingTable:
        return RollingTable(*self._parts, 1, self._slope)


def _points(solid: Piece | Disc) -> list[tuple[float, float]]:
    if isinstance(solid, Piece):
        return [solid.start, solid.end]
    (x, y), r = solid.middle, solid.radius
    turns = [math.pi * step / 12 for step in range(25)]
    return [(x + r * math.cos(turn), y + r * math.sin(turn)) for turn in turns]
