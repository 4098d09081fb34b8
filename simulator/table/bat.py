"""A flipper's bat: the strong winding drives it up, either one holds it there, a spring drops it."""

import math

import pymunk

from simulator.drawing.geometry import Point
from simulator.drawing.pieces import Bat
from simulator.routes import FlipperRow
from simulator.table import materials
from simulator.table.materials import SUBSTEP

PIVOT, TIP = 10.0, 7.0  # half the width
ROUND = 5.0  # mm of its corners
NEAR_TOP = 0.94  # of the swing: the end-of-stroke contact closes, and the hold winding holds


class SwingingBat:
    """One bat. `swung` is 0 at rest, 1 up. Its drive is a torque: times up and down are the row's."""

    def __init__(self, bat: Bat, row: FlipperRow) -> None:
        self.row = row
        self.name = bat.name
        self.pivot: Point = bat.pivot
        self.length = math.dist(bat.pivot, bat.rest)
        self.rest_angle = _angle(bat.pivot, bat.rest)
        turn = _angle(bat.pivot, bat.up) - self.rest_angle
        self.swing = (turn + math.pi) % (2 * math.pi) - math.pi
        self.swung = 0.0
        self.body = pymunk.Body(body_type=pymunk.Body.KINEMATIC)
        self.body.position = bat.pivot
        self.body.angle = self.rest_angle
        big, small = PIVOT - ROUND, TIP - ROUND
        corners = [(0, -big), (self.length, -small), (self.length, small), (0, big)]
        self.shapes: list[pymunk.Shape] = [
            pymunk.Poly(self.body, corners, radius=ROUND),
            pymunk.Circle(self.body, PIVOT),
            pymunk.Circle(self.body, TIP, (self.length, 0)),
        ]
        for shape in self.shapes:
            shape.elasticity, shape.friction = materials.BAT, materials.BAT_FRICTION
        self._speed = 0.0  # of `swung`, 1/s
        self._strong_until = 0
        self._held = False
        self._up = 2 / (row.rises_in / 1000) ** 2
        self._down = 2 / (row.falls_in / 1000) ** 2

    def coil(self, name: str, value: int, at_ms: int) -> None:
        """React to a COIL record, `value`: pulse in ms, −1 held on, 0 off. Other coils are ignored."""
        if name == self.row.strong and name == self.row.hold:  # one winding for both
            self._held = value < 0
            self._strong_until = at_ms + value if value >= 0 else at_ms + (1 << 30)
        elif name == self.row.hold:
            self._held = value != 0
        elif name == self.row.strong:
            self._strong_until = at_ms + value if value >= 0 else at_ms + (1 << 30)

    @property
    def is_up(self) -> bool:
        """Whether its end-of-stroke contact is closed."""
        return self.swung >= NEAR_TOP

    @property
    def tip(self) -> Point:
        """Where its tip is."""
        angle = self.rest_angle + self.swing * self.swung
        return self.pivot[0] + self.length * math.cos(angle), self.pivot[1] + self.length * math.sin(angle)

    def is_moving(self, now_ms: int) -> bool:
        """Whether it moves, or would with the next step."""
        return self.swung > 0 or now_ms < self._strong_until

    def is_swinging(self, now_ms: int) -> bool:
        """Whether it is on its way up or down, or about to be."""
        lifted = now_ms + 1 < self._strong_until or (self._held and self.is_up)
        return not (self.swung == 1 and lifted) and (self.swung > 0 or now_ms < self._strong_until)

    def step(self, now_ms: int) -> None:
        """Set the speed with which it goes through the next step of the physics."""
        if now_ms < self._strong_until or (self._held and self.is_up):
            self._speed += self._up * SUBSTEP
        else:
            self._speed -= self._down * SUBSTEP
        goal = self.swung + self._speed * SUBSTEP
        if goal <= 0 == self.swung == self.body.angular_velocity:
            self._speed = 0.0
            return  # at rest, and stays there
        if not 0 < goal < 1:
            goal = min(1.0, max(0.0, goal))
            self._speed = 0.0
        self.body.angle = self.rest_angle + self.swing * self.swung
        self.body.angular_velocity = self.swing * (goal - self.swung) / SUBSTEP
        self.swung = goal


def _angle(start: Point, end: Point) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])
