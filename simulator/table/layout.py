"""What a drawing holds for the physics: each thing that a ball meets, with where it leads."""

import math
from dataclasses import dataclass, field

from simulator.drawing.drawing import Drawing
from simulator.drawing.geometry import Point
from simulator.drawing.items import Item
from simulator.drawing.pieces import Bat, Bumper, Kicker, Mark, Sling
from simulator.routes import RouteBook, Step
from simulator.table.beds import Beds
from simulator.table.materials import (
    BAT,
    RADIUS,
    RUBBER,
    RUBBER_FRICTION,
    TARGET,
    TARGET_FRICTION,
    WALL,
    WALL_FRICTION,
)
from simulator.table.shapes import Disc, Piece, as_disc, sides, solids
from simulator.table.spinner import Spinner
from simulator.table.way import Way

HOLE = 8.0  # mm, the least radius of a round sensor that is a hole
Solid = Piece | Disc


@dataclass(frozen=True)
class Stuff:
    """What something is made of: speed kept after a square hit, and friction."""

    bounce: float
    friction: float


WOOD = Stuff(WALL, WALL_FRICTION)
RUBBERS = Stuff(RUBBER, RUBBER_FRICTION)
PLASTIC = Stuff(TARGET, TARGET_FRICTION)
POSTS = Stuff(BAT, RUBBER_FRICTION)


@dataclass(frozen=True)
class Touched:
    """Something solid with a contact: a target, bumper or sling; `drops`: it goes down when hit."""

    name: str
    solids: tuple[Solid, ...]
    stuff: Stuff
    drops: bool = False
    face: tuple[Point, Point] | None = None  # of a sling, where alone it feels a ball


@dataclass(frozen=True)
class Rollover:
    """A switch that a ball closes by lying on it."""

    name: str
    pieces: tuple[Piece, ...]


@dataclass(frozen=True)
class Hole:
    """What takes a ball in: the device it leads to, or the steps of the way to one."""

    name: str
    middle: Point
    radius: float
    device: str = ""
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class ShooterLane:
    """A device whose switch is a line: it takes a ball that comes back over it, and kicks it `out`."""

    device: str
    start: Point
    end: Point
    out: Point


@dataclass
class Layout:
    """Everything that balls meet."""

    walls: list[tuple[Solid, Stuff]] = field(default_factory=list)
    gates: list[Piece] = field(default_factory=list)
    touched: list[Touched] = field(default_factory=list)
    rollovers: list[Rollover] = field(default_factory=list)
    spinners: list[Spinner] = field(default_factory=list)
    holes: list[Hole] = field(default_factory=list)
    lanes: list[ShooterLane] = field(default_factory=list)
    ways: list[Way] = field(default_factory=list)
    bats: list[Bat] = field(default_factory=list)
    bumpers: list[Bumper] = field(default_factory=list)
    slings: list[Sling] = field(default_factory=list)
    kickers: dict[str, Kicker] = field(default_factory=dict)
    drain: Point = (0.0, 0.0)
    remarks: list[str] = field(default_factory=list)


def read(drawing: Drawing, book: RouteBook, slope: float) -> Layout:
    """The layout of a drawing for a table of this slope in degrees; its remarks say what is missing."""
    return _Reading(drawing, book, slope).layout


class _Reading:
    """Goes through a drawing once."""

    def __init__(self, drawing: Drawing, book: RouteBook, slope: float) -> None:
        self.layout = Layout(bats=drawing.bats, bumpers=drawing.bumpers, slings=drawing.slings)
        self._drawing = drawing
        self._book = book
        self._beds = Beds(drawing, slope)
        self.layout.kickers = {kicker.coil: kicker for kicker in drawing.kickers}
        self.layout.ways = self._beds.ways
        self.layout.remarks += self._beds.remarks
        for item in drawing.items:
            self._item(item)
        self.layout.walls += [(piece, WOOD) for piece in self._beds.walls]
        for bumper in drawing.bumpers:
            self.layout.touched.append(_bumper(bumper))
        for sling in drawing.slings:
            face = (sling.upper, sling.lower)
            self.layout.touched.append(
                Touched(sling.switch, tuple(solids(sling.parts)), RUBBERS, False, face)
            )
        for mark in drawing.marks:
            self._mark(mark)
        self._drain()

    def _item(self, item: Item) -> None:
        layout = self.layout
        if item.role == "fixed":
            layout.walls += [(solid, WOOD) for solid in solids(item.parts)]
        elif item.role == "elastic" and not item.name:
            layout.walls += [(solid, RUBBERS) for solid in solids(item.parts)]
        elif item.role == "one-way":
            layout.gates += [solid for solid in solids(item.parts) if isinstance(solid, Piece)]

    def _mark(self, mark: Mark) -> None:
        name = mark.switch
        switch = self._drawing.machine.switches[name]
        layout = self.layout
        device = next((row.name for row in self._book.devices if name in row.switches), "")
        if switch.zone == "cabinet" or device == self._book.home or name in self._beds.switches:
            return
        if device:
            self._device(mark, device)
        elif self._tunnel(name):
            layout.holes.append(Hole(name, (mark.x, mark.y), mark.size, "", self._tunnel(name)))
        elif switch.zone == "device":
            return  # on the way out of a device, where no ball rolls
        elif mark.drops or switch.kind in ("target", "bumper", "sling"):
            layout.touched.append(Touched(name, tuple(solids(mark.parts)), PLASTIC, mark.drops))
        elif switch.kind == "spinner":
            layout.spinners.append(Spinner(name, *_longest(mark)))
        else:
            pieces = tuple(piece for piece in solids(mark.parts) if isinstance(piece, Piece))
            layout.rollovers.append(Rollover(name, pieces or _across(mark)))

    def _device(self, mark: Mark, device: str) -> None:
        disc = next((as_disc(outline) for part in mark.parts for outline in part.outlines), None)
        if disc is not None and disc.radius >= HOLE:
            if self._takes_balls(device):
                self.layout.holes.append(Hole(mark.switch, disc.middle, disc.radius, device))
            return
        row = next(row for row in self._book.devices if row.name == device)
        if row.switches[0] == mark.switch:
            kicker = self.layout.kickers.get(row.coil)
            out = _unit(kicker.start, kicker.end) if kicker else (0.0, -1.0)
            self.layout.lanes.append(ShooterLane(device, *_longest(mark), out))

    def _tunnel(self, switch: str) -> tuple[Step, ...]:
        """The steps of the way from a hole's switch to a device; none when it is no such hole."""
        every = (*(shot.steps for shot in self._book.shots.values()), *self._book.steps.values())
        others = (self._book.home, *self._lane_names())
        for steps in every:
            if steps[-1].verb == "enter" and steps[-1].arguments[1] not in others:
                for at, step in enumerate(steps):
                    if step.verb == "hit" and step.arguments[1] == switch:
                        return steps[at:]
        return ()

    def _takes_balls(self, device: str) -> bool:
        """Whether a ball comes into a device from the playfield, not through a tunnel alone."""
        every = (*(shot.steps for shot in self._book.shots.values()), *self._book.steps.values())
        ways = [steps for steps in every if steps[-1].verb == "enter" and steps[-1].arguments[1] == device]
        zones = self._drawing.machine.switches
        return not ways or any(
            all(step.verb != "hit" or zones[str(step.arguments[1])].zone != "device" for step in steps)
            for steps in ways
        )

    def _lane_names(self) -> list[str]:
        kinds = self._drawing.machine.switches
        return [
            row.name
            for row in self._book.devices
            if row.switches[0] and kinds[row.switches[0]].kind == "lane"
        ]

    def _drain(self) -> None:
        """The point from which balls go to the device that they are at home in."""
        home = next(device for device in self._drawing.machine.devices if device.name == self._book.home)
        bats = self._drawing.bats
        low = max((bat.rest[1] for bat in bats), default=self._drawing.size[1] * 0.85)
        middle = sum(bat.rest[0] for bat in bats) / len(bats) if bats else self._drawing.size[0] / 2
        points = self._drawing.points
        before = [a for a, b in self._drawing.machine.moves if b == home.slots[-1] and a in points]
        below = [points[name] for name in before if points[name][1] > low] or [(middle, low + 3 * RADIUS)]
        self.layout.drain = min(below, key=lambda point: point[1])


def _bumper(bumper: Bumper) -> Touched:
    stroke = max((part.style.width / 2 for part in bumper.parts if part.style.stroke), default=0.0)
    disc = Disc((bumper.x, bumper.y), bumper.radius + stroke)
    return Touched(bumper.switch, (disc,), RUBBERS)


def _longest(mark: Mark) -> tuple[Point, Point]:
    found = [side for part in mark.parts for outline in part.outlines for side in sides(outline)]
    return max(found, key=lambda side: math.dist(*side))


def _across(mark: Mark) -> tuple[Piece, ...]:
    """A round rollover as a piece across its middle."""
    half = mark.size / 2
    return (Piece((mark.x - half, mark.y), (mark.x + half, mark.y), 1.0),)


def _unit(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length
