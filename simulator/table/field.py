"""The playfield as a space of pymunk: walls, gates, targets, bats and the balls that roll among them."""

import math
from collections.abc import Iterable
from typing import NamedTuple

import pymunk

from simulator.drawing.geometry import Point
from simulator.table.bat import SwingingBat
from simulator.table.layout import POSTS, Layout, Solid, Stuff
from simulator.table.materials import GRAVITY, RADIUS, ROLLING, SUBSTEP, SUBSTEPS
from simulator.table.roller import Roller
from simulator.table.shapes import Disc, Piece, distance

BALL_TYPE, WALL_TYPE, TOUCHED_TYPE, SENSOR_TYPE, GATE_TYPE, BAT_TYPE = range(1, 7)


class Meeting(NamedTuple):
    """A ball came on (or left) something with a name, at a speed (mm/s) towards it."""

    name: str
    roller: Roller
    speed: float
    begins: bool
    at: Point


class Field:
    """The balls on the playfield. `meetings` are those since they were last taken."""

    def __init__(self, layout: Layout, bats: Iterable[SwingingBat], slope: float) -> None:
        self.layout = layout
        self.bats = list(bats)
        self.rollers: list[Roller] = []
        self.over: dict[str, list[Roller]] = {}  # the balls on each sensor
        self.now_ms = 0
        self._fall = ROLLING * GRAVITY * math.sin(math.radians(slope))
        self._meetings: list[Meeting] = []
        self._names: dict[pymunk.Shape, str] = {}
        self._balls: dict[pymunk.Shape, Roller] = {}
        self._solids: dict[str, list[pymunk.Shape]] = {}
        self._open: dict[pymunk.Shape, Point] = {}  # the open side of each gate
        self._out: set[str] = set()
        self.space = pymunk.Space()
        self.space.gravity = (0.0, self._fall)
        self.space.collision_slop = 0.02
        self._build(layout)
        self._listen()

    def add(self, roller: Roller) -> None:
        """Put a ball on the playfield."""
        roller.disc.collision_type = BALL_TYPE
        self._balls[roller.disc] = roller
        self.rollers.append(roller)
        self.space.add(roller.body, roller.disc)

    def remove(self, roller: Roller) -> None:
        """Take a ball off it."""
        self.space.remove(roller.body, roller.disc)
        self.rollers.remove(roller)
        del self._balls[roller.disc]
        for name, balls in self.over.items():
            if roller in balls:
                self.over[name] = [other for other in balls if other is not roller]
                self._meetings.append(Meeting(name, roller, 0.0, False, roller.place))

    def set_solid(self, name: str, solid: bool) -> None:
        """Raise a drop target, or take it out of the way."""
        if solid == (name not in self._out):
            return
        if solid:
            self._out.remove(name)
            self.space.add(*self._solids[name])
        else:
            self._out.add(name)
            self.space.remove(*self._solids[name])

    def step(self, cabinet: Point = (0.0, 0.0)) -> None:
        """Let a millisecond pass; `cabinet`: how it accelerates (mm/s²)."""
        self.now_ms += 1
        self.space.gravity = -ROLLING * cabinet[0], self._fall - ROLLING * cabinet[1]
        for _ in range(SUBSTEPS):
            for bat in self.bats:
                bat.step(self.now_ms)
            self.space.step(SUBSTEP)
        for roller in self.rollers:
            roller.drag(SUBSTEP * SUBSTEPS)

    def take_meetings(self) -> list[Meeting]:
        """What balls met since the last call, in order."""
        found, self._meetings = self._meetings, []
        return found

    def sees(self, start: Point, end: Point) -> bool:
        """Whether no wall lies between two points."""
        hits = self.space.segment_query(start, end, 0.1, pymunk.ShapeFilter())
        return not any(hit.shape is not None and hit.shape.collision_type == WALL_TYPE for hit in hits)

    def shapes_of(self, name: str) -> list[pymunk.Shape]:
        """The shapes of something solid with a name."""
        return self._solids[name]

    def gap(self, roller: Roller, name: str) -> float:
        """The mm between a ball and something solid with a name."""
        return min(shape.point_query(roller.place).distance for shape in self._solids[name]) - RADIUS

    # Building

    def _build(self, layout: Layout) -> None:
        for solid, stuff in layout.walls:
            self._add(solid, stuff, WALL_TYPE)
        for gate in layout.gates:
            shape = self._add(gate, POSTS, GATE_TYPE)
            dx, dy = gate.end[0] - gate.start[0], gate.end[1] - gate.start[1]
            length = math.hypot(dx, dy)
            self._open[shape] = dy / length, -dx / length
        for one in layout.touched:
            shapes = [self._add(solid, one.stuff, TOUCHED_TYPE, one.name) for solid in one.solids]
            self._solids[one.name] = shapes
        for rollover in layout.rollovers:
            for piece in rollover.pieces:
                self._sensor(piece, rollover.name)
        for spinner in layout.spinners:
            self._sensor(Piece(spinner.start, spinner.end, 0.5), spinner.name)
        for hole in layout.holes:
            self._sensor(Disc(hole.middle, max(1.0, hole.radius - RADIUS)), hole.name)
        for lane in layout.lanes:
            self._sensor(Piece(lane.start, lane.end, 0.5), lane.device)
        for bat in self.bats:
            for shape in bat.shapes:
                shape.collision_type = BAT_TYPE
            self.space.add(bat.body, *bat.shapes)

    def _add(self, solid: Solid, stuff: Stuff, kind: int, name: str = "") -> pymunk.Shape:
        shape = _shape(self.space.static_body, solid)
        shape.elasticity, shape.friction, shape.collision_type = stuff.bounce, stuff.friction, kind
        if name:
            self._names[shape] = name
        self.space.add(shape)
        return shape

    def _sensor(self, solid: Solid, name: str) -> None:
        shape = _shape(self.space.static_body, solid)
        shape.sensor, shape.collision_type = True, SENSOR_TYPE
        self._names[shape] = name
        self.over.setdefault(name, [])
        self.space.add(shape)

    # What pymunk reports

    def _listen(self) -> None:
        on = self.space.on_collision
        on(BALL_TYPE, WALL_TYPE, begin=self._strike)
        on(BALL_TYPE, TOUCHED_TYPE, begin=self._touch)
        on(BALL_TYPE, SENSOR_TYPE, begin=self._come, separate=self._leave)
        on(BALL_TYPE, GATE_TYPE, begin=self._pass)

    def _strike(self, arbiter: pymunk.Arbiter, space: pymunk.Space, data: object) -> None:
        self._balls[arbiter.shapes[0]].struck_ms = self.now_ms

    def _touch(self, arbiter: pymunk.Arbiter, space: pymunk.Space, data: object) -> None:
        ball, other = arbiter.shapes
        roller = self._balls[ball]
        roller.struck_ms = self.now_ms
        speed = roller.body.velocity.dot(arbiter.normal)
        contact = arbiter.contact_point_set.points[0].point_b
        self._meetings.append(Meeting(self._names[other], roller, speed, True, (contact.x, contact.y)))

    def _come(self, arbiter: pymunk.Arbiter, space: pymunk.Space, data: object) -> None:
        ball, other = arbiter.shapes
        roller, name = self._balls[ball], self._names[other]
        self.over[name].append(roller)
        if self.over[name].count(roller) == 1:
            self._meetings.append(Meeting(name, roller, roller.speed, True, roller.place))

    def _leave(self, arbiter: pymunk.Arbiter, space: pymunk.Space, data: object) -> None:
        ball, other = arbiter.shapes
        roller = self._balls.get(ball)
        name = self._names.get(other, "")  # both are gone when the space itself goes
        if roller is None or roller not in self.over[name]:
            return
        self.over[name].remove(roller)
        if roller not in self.over[name]:
            self._meetings.append(Meeting(name, roller, roller.speed, False, roller.place))

    def _pass(self, arbiter: pymunk.Arbiter, space: pymunk.Space, data: object) -> None:
        """A gate lets a ball through that comes from its closed side."""
        ball, gate = arbiter.shapes
        u, v = self._open[gate]
        assert isinstance(gate, pymunk.Segment)
        x, y = self._balls[ball].place
        behind = (x - gate.a.x) * u + (y - gate.a.y) * v
        if behind < 0:
            arbiter.process_collision = False


def _shape(body: pymunk.Body, solid: Solid) -> pymunk.Shape:
    if isinstance(solid, Disc):
        return pymunk.Circle(body, solid.radius, solid.middle)
    return pymunk.Segment(body, solid.start, solid.end, solid.half)


def face_part(face: tuple[Point, Point], at: Point) -> float:
    """Where along a sling's face a point lies, 0 to 1; below 0 when it is not on the face."""
    (ax, ay), (bx, by) = face
    dx, dy = bx - ax, by - ay
    part = ((at[0] - ax) * dx + (at[1] - ay) * dy) / (dx * dx + dy * dy)
    return part if 0 <= part <= 1 and distance(at, *face) < RADIUS + 12 else -1.0
