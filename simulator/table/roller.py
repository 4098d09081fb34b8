"""One ball as the physics has it: a disc on the playfield, or a ride on a way above it."""

import math

import pymunk

from simulator.ball import Ball
from simulator.drawing.geometry import Point
from simulator.table.materials import FASTEST, GRAVITY, MASS, MOMENT, RADIUS, RESISTANCE
from simulator.table.way import Ride

ALONE = 1  # group of balls that meet no other
STRUCK_MS = 60  # for as long a ball is unsteady after it struck something


class Roller:
    """A ball that rolls. `ride`: where it is on a way, None on the playfield; `is_alone`: meets no other."""

    def __init__(self, ball: Ball, at: Point, velocity: Point) -> None:
        self.ball = ball
        self.ride: Ride | None = None
        self.body = pymunk.Body(MASS, MOMENT)
        self.body.position = at
        self.body.velocity = velocity
        self.disc = pymunk.Circle(self.body, RADIUS)
        self.disc.elasticity = self.disc.friction = 1.0  # the product with the other's counts
        self.is_alone = False
        self.struck_ms = -STRUCK_MS  # when it last struck something
        self.taken = ""  # the hole that took it in
        self.left = ""  # the hole that threw it out, until it is clear of that

    def pass_balls(self) -> None:
        """Let it pass through other balls that do the same."""
        self.is_alone = True
        self.disc.filter = pymunk.ShapeFilter(group=ALONE)

    @property
    def place(self) -> Point:
        """Where it is, mm."""
        if self.ride is not None:
            return self.ride.place
        x, y = self.body.position
        return x, y

    @property
    def velocity(self) -> Point:
        """mm/s on the playfield."""
        if self.ride is not None:
            u, v = self.ride.way.direction(self.ride.s)
            return u * self.ride.speed, v * self.ride.speed
        u, v = self.body.velocity
        return u, v

    @property
    def speed(self) -> float:
        """mm/s."""
        return math.hypot(*self.velocity)

    @property
    def energy(self) -> float:
        """Of its movement on the playfield, in µJ: kg·mm²/s²."""
        return self.body.kinetic_energy / 2  # pymunk leaves out the half

    def drag(self, seconds: float) -> None:
        """Rolling resistance, and the limit of speed."""
        u, v = self.body.velocity
        speed = math.hypot(u, v)
        loss = RESISTANCE * GRAVITY * seconds
        if speed <= loss:
            return
        part = min(1 - loss / speed, FASTEST / speed)
        self.body.velocity = u * part, v * part

    def kick(self, direction: Point, speed: float) -> None:
        """Throw it, so that it has at least this speed in this direction (a unit vector)."""
        u, v = self.body.velocity
        along = u * direction[0] + v * direction[1]
        if along < speed:
            more = speed - along
            self.body.velocity = u + direction[0] * more, v + direction[1] * more
