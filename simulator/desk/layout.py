"""A game's drawn playfield, read once from its host/layout.py and checked against its wiring."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from firmware.base.errors import GameError
from simulator.desk.canvas import Colour, Point
from simulator.routes import near

SHAPES = ("round", "hexagon", "arrow", "bar", "square")
MARKS = ("rollover", "spinner", "gate", "target", "drop", "hole", "slot", "dot")


@dataclass(frozen=True)
class Insert:
    """A lamp under the playfield; the label stands `aside` from its middle."""

    lamp: str
    shape: str
    x: float
    y: float
    size: float
    angle: float
    label: str
    aside: Point


@dataclass(frozen=True)
class Mark:
    """A switch on the playfield."""

    switch: str
    kind: str
    x: float
    y: float
    angle: float


@dataclass(frozen=True)
class Bumper:
    switch: str
    coil: str
    lamp: str
    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Sling:
    """A kicking rubber from `upper` to `lower`, with the corner behind it."""

    switch: str
    coil: str
    upper: Point
    lower: Point
    corner: Point


@dataclass(frozen=True)
class FlipperBat:
    strong: str
    hold: str
    button: str
    pivot: Point
    length: float
    rest: float
    raised: float


@dataclass(frozen=True)
class Kicker:
    coil: str
    x: float
    y: float
    angle: float
    label: str


@dataclass(frozen=True)
class Flasher:
    coil: str
    colour: str
    x: float
    y: float


class Layout:
    """Positions, shapes and paths of one game, in its own units. Raises GameError with the near miss."""

    def __init__(
        self, module: Any, switches: Iterable[str], lamps: Sequence[tuple[str, str]], coils: Iterable[str]
    ) -> None:
        self._file = str(getattr(module, "__file__", None) or module.__name__)
        self.size: tuple[int, int] = module.SIZE
        self.ball_radius: float = module.BALL_RADIUS
        self.colours: dict[str, Colour] = dict(module.COLOURS)
        self.lamp_colours: dict[str, str] = dict(lamps)
        self.art: Sequence[tuple[Any, ...]] = module.ART
        self.inserts = [
            Insert(lamp, shape, x, y, size, angle, label, (u, v))
            for lamp, shape, x, y, size, angle, label, u, v in module.INSERTS
        ]
        self.marks = [Mark(*row) for row in module.SWITCHES]
        self.bumpers = [Bumper(*row) for row in module.BUMPERS]
        self.slings = [Sling(*row) for row in module.SLINGS]
        self.flippers = [FlipperBat(*row) for row in module.FLIPPERS]
        self.kickers = [Kicker(*row) for row in module.KICKERS]
        self.flashers = [Flasher(*row) for row in module.FLASHERS]
        self.hidden_places: tuple[str, ...] = module.HIDDEN_PLACES
        self.points: dict[str, Point] = {mark.switch: (mark.x, mark.y) for mark in self.marks}
        self.points.update({name: (x, y) for name, x, y in module.POINTS})
        self.paths: dict[tuple[str, str], tuple[Point, ...]] = {
            (a, b): points for a, b, points in module.PATHS
        }
        self._check(tuple(switches), tuple(coils))

    def placed_coils(self) -> set[str]:
        """Coils that are seen on the playfield."""
        rows: tuple[Bumper | Sling | Kicker | Flasher, ...]
        rows = (*self.bumpers, *self.slings, *self.kickers, *self.flashers)
        return {row.coil for row in rows} | {coil for bat in self.flippers for coil in (bat.strong, bat.hold)}

    def placed_switches(self) -> set[str]:
        """Switches that can be clicked on the playfield."""
        rows: tuple[Mark | Bumper | Sling, ...] = (*self.marks, *self.bumpers, *self.slings)
        return {row.switch for row in rows}

    def placed_lamps(self) -> set[str]:
        """Lamps that are seen on the playfield."""
        rows: tuple[Insert | Bumper, ...] = (*self.inserts, *self.bumpers)
        return {row.lamp for row in rows}

    def _check(self, switches: Sequence[str], coils: Sequence[str]) -> None:
        for insert in self.inserts:
            self._known("INSERTS", insert.lamp, self.lamp_colours)
            self._known("INSERTS", insert.shape, SHAPES)
        for mark in self.marks:
            self._known("SWITCHES", mark.switch, switches)
            self._known("SWITCHES", mark.kind, MARKS)
        for bumper in self.bumpers:
            self._known("BUMPERS", bumper.switch, switches)
            self._known("BUMPERS", bumper.lamp, self.lamp_colours)
        for sling in self.slings:
            self._known("SLINGS", sling.switch, switches)
        for coil in sorted(self.placed_coils()):
            self._known("the drawn coils", coil, coils)
        for a, b in self.paths:
            self._known("PATHS", a, self.points)
            self._known("PATHS", b, self.points)
        for row in self.art:
            for word in row[1:]:
                if isinstance(word, str) and row[0] != "text":
                    self._known("ART", word, self.colours)

    def _known(self, owner: str, name: str, allowed: Iterable[str]) -> None:
        if name not in allowed:
            raise GameError(f"{owner} names '{name}', which is not there{near(name, allowed)}", self._file)
