"""A game's drawn playfield, read from its host/layout.py and checked against its wiring."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from simulator.desk.canvas import Colour, Point
from simulator.tables import Tables

SHAPES = ("round", "hexagon", "arrow", "bar", "square")
ArtRow = tuple[str, *tuple[object, ...]]
"""A step of the still drawing: a word of simulator.desk.background, then what that word takes."""

MARKS = ("rollover", "spinner", "gate", "target", "drop", "hole", "slot", "dot")


@dataclass(frozen=True)
class Insert:
    """A lamp under the playfield; (label_x, label_y) is the label's offset from its middle, (0, 0): on it."""

    lamp: str
    shape: str
    x: float
    y: float
    size: float
    angle: float
    label: str
    label_x: float
    label_y: float


@dataclass(frozen=True)
class Mark:
    """A switch on the playfield, drawn as one of MARKS."""

    switch: str
    kind: str
    x: float
    y: float
    angle: float


@dataclass(frozen=True)
class Bumper:
    """A bumper: its contact, its coil and the lamp under its cap."""

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
    """A flipper bat; `rest` and `raised` are degrees clockwise from straight up, `length` in units."""

    strong: str
    hold: str
    button: str
    pivot: Point
    length: float
    rest: float
    raised: float


@dataclass(frozen=True)
class Kicker:
    """What kicks a ball out of a hole; `angle` in degrees clockwise from straight up."""

    coil: str
    x: float
    y: float
    angle: float
    label: str


@dataclass(frozen=True)
class Flasher:
    """A flasher lamp that a coil drive feeds."""

    coil: str
    colour: str
    x: float
    y: float


@dataclass(frozen=True)
class NamedColour:
    """A colour of the drawing."""

    name: str
    rgb: Colour


@dataclass(frozen=True)
class NamedPoint:
    """A place that balls rest at or pass."""

    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Path:
    """The points a ball passes on its way from one named point to another."""

    start: str
    end: str
    points: tuple[Point, ...]


class Layout:
    """Positions, shapes and paths of one game's drawing, in units of its own. Raises GameError."""

    def __init__(
        self, module: object, switches: Iterable[str], lamps: Sequence[tuple[str, str]], coils: Iterable[str]
    ) -> None:
        self.tables = tables = Tables(module)
        self.size: tuple[int, int] = tables.value("SIZE", tuple)
        self.ball_radius: float = tables.value("BALL_RADIUS", (int, float))
        self.colours = {row.name: row.rgb for row in tables.rows("COLOURS", NamedColour)}
        self.lamp_colours: dict[str, str] = dict(lamps)
        self.art: Sequence[ArtRow] = tables.value("ART", tuple)
        self.inserts = tables.rows("INSERTS", Insert)
        self.marks = tables.rows("SWITCHES", Mark)
        self.bumpers = tables.rows("BUMPERS", Bumper)
        self.slings = tables.rows("SLINGS", Sling)
        self.flippers = tables.rows("FLIPPERS", FlipperBat)
        self.kickers = tables.rows("KICKERS", Kicker)
        self.flashers = tables.rows("FLASHERS", Flasher)
        self.hidden_places: tuple[str, ...] = tables.value("HIDDEN_PLACES", tuple)
        self.points: dict[str, Point] = {mark.switch: (mark.x, mark.y) for mark in self.marks}
        self.points.update({row.name: (row.x, row.y) for row in tables.rows("POINTS", NamedPoint)})
        self.paths = {(row.start, row.end): row.points for row in tables.rows("PATHS", Path)}
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
        require = self.tables.require
        for insert in self.inserts:
            require("INSERTS", insert.lamp, self.lamp_colours)
            require("INSERTS", insert.shape, SHAPES)
        for mark in self.marks:
            require("SWITCHES", mark.switch, switches)
            require("SWITCHES", mark.kind, MARKS)
        for bumper in self.bumpers:
            require("BUMPERS", bumper.switch, switches)
            require("BUMPERS", bumper.lamp, self.lamp_colours)
        for sling in self.slings:
            require("SLINGS", sling.switch, switches)
        for coil in sorted(self.placed_coils()):
            require("the drawn coils", coil, coils)
        for a, b in self.paths:
            require("PATHS", a, self.points)
            require("PATHS", b, self.points)
        for row in self.art:
            kind, *values = row
            for word in values:
                if isinstance(word, str) and kind != "text":
                    require("ART", word, self.colours)
