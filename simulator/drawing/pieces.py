"""The pieces of a drawing that the desk shows moving, lit or closed; all lengths are mm of the playfield."""

from dataclasses import dataclass

from simulator.drawing.geometry import Point
from simulator.drawing.parts import Part, Text


@dataclass(frozen=True)
class Insert:
    """A lamp under the playfield; `texts` are written on it."""

    lamp: str
    colour: str
    parts: tuple[Part, ...]
    texts: tuple[Text, ...]
    x: float
    y: float
    size: float


@dataclass(frozen=True)
class Mark:
    """A switch on the playfield; `drops`: it is a target that goes down."""

    switch: str
    parts: tuple[Part, ...]
    x: float
    y: float
    size: float
    drops: bool


@dataclass(frozen=True)
class Bumper:
    """A round bumper: its contact and its coil ("": none)."""

    switch: str
    coil: str
    parts: tuple[Part, ...]
    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Sling:
    """A kicking rubber from `upper` to `lower`; `out` is the unit vector to the side of the ball."""

    switch: str
    coil: str
    parts: tuple[Part, ...]
    upper: Point
    lower: Point
    out: Point


@dataclass(frozen=True)
class Bat:
    """A flipper bat from its pivot to its tip, at rest and up; `part` has its colours."""

    name: str
    strong: str
    hold: str
    part: Part
    pivot: Point
    rest: Point
    up: Point


@dataclass(frozen=True)
class Kicker:
    """The coil that kicks a ball from `start` towards `end`."""

    coil: str
    part: Part
    start: Point
    end: Point


@dataclass(frozen=True)
class Flasher:
    """A flasher lamp that a coil drive feeds."""

    coil: str
    parts: tuple[Part, ...]
    x: float
    y: float
    size: float


@dataclass(frozen=True)
class Path:
    """The points a ball passes between two named ones; `below`: under the playfield."""

    points: tuple[Point, ...]
    below: bool
