"""A plate on an axle across a lane, set spinning by a ball that passes; it closes its contact each turn."""

import math

from simulator.drawing.geometry import Point

ARM = 15.0  # mm from the axle to where a ball hits the plate
TAKEN = 0.04  # of the ball's speed that the plate takes
COASTING = 0.7  # s in which the air takes most of its speed
FRICTION = 3.0  # rad/s² of its bearings
TURN = 2 * math.pi


class Spinner:
    """One spinner; `start` and `end` are the ends of its axle."""

    def __init__(self, name: str, start: Point, end: Point) -> None:
        self.name = name
        self.start, self.end = start, end
        self.speed = 0.0  # rad/s, towards the far end of the table where positive
        self._turned = TURN / 2  # rad since the contact closed

    @property
    def normal(self) -> Point:
        """The unit vector across the axle, away from the player."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        length = math.hypot(dx, dy)
        u, v = dy / length, -dx / length
        return (u, v) if v < 0 or (v == 0 and u > 0) else (-u, -v)

    @property
    def left(self) -> float:
        """How far (rad) the plate has to turn until its contact closes."""
        return TURN - self._turned

    def hit(self, velocity: Point) -> Point:
        """A ball passes with this velocity (mm/s); returns the velocity that it keeps."""
        u, v = self.normal
        across = velocity[0] * u + velocity[1] * v
        if abs(across) / ARM > abs(self.speed) or across * self.speed < 0:
            self.speed = across / ARM
        return velocity[0] - u * across * TAKEN, velocity[1] - v * across * TAKEN

    def step(self, seconds: float) -> bool:
        """Let time pass; whether it completed a turn."""
        if not self.speed:
            return False
        loss = (abs(self.speed) / COASTING + FRICTION) * seconds
        self._turned += abs(self.speed) * seconds
        self.speed = math.copysign(max(0.0, abs(self.speed) - loss), self.speed)
        if self._turned < TURN:
            return False
        self._turned -= TURN
        return True
