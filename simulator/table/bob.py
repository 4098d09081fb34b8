"""Nudges, and the tilt bob that they set swinging."""

import math

from simulator.drawing.geometry import Point
from simulator.table.materials import GRAVITY

PUSH_MM = 9.0  # how far a nudge moves the cabinet
PUSH_S = 0.16  # there and back
DIRECTIONS: dict[str, Point] = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "up": (0.0, -1.0)}
LENGTH = 90.0  # mm from the bob's pivot to its weight
GAP = 10.0  # mm to its ring
DAMPING = 0.08  # of critical damping


class Nudge:
    """One push: the cabinet moves by PUSH_MM and comes back, its place following sin²."""

    def __init__(self, direction: str) -> None:
        self._direction = DIRECTIONS[direction]
        self._for = 0.0

    def step(self, seconds: float) -> Point | None:
        """The cabinet's acceleration in mm/s²; None once it is over."""
        if self._for >= PUSH_S:
            return None
        size = 2 * PUSH_MM * (math.pi / PUSH_S) ** 2 * math.cos(2 * math.pi * self._for / PUSH_S)
        self._for += seconds
        return self._direction[0] * size, self._direction[1] * size


class Bob:
    """The bob: a damped pendulum in two directions. `is_closed`: it touches its ring.

    A small swing's period is 2π·√(length/g) (Halliday, Resnick, Walker, ch. 15).
    """

    def __init__(self) -> None:
        self.x = self.y = 0.0  # mm from where it hangs
        self._u = self._v = 0.0

    @property
    def is_closed(self) -> bool:
        """Whether the bob touches its ring."""
        return math.hypot(self.x, self.y) >= GAP

    @property
    def is_still(self) -> bool:
        """Whether it hangs still, or so nearly that nobody sees it."""
        return math.hypot(self.x, self.y) < 0.1 and math.hypot(self._u, self._v) < 1

    def step(self, seconds: float, cabinet: Point) -> None:
        """Let time pass while the cabinet accelerates (mm/s²)."""
        pull = GRAVITY / LENGTH
        drag = 2 * DAMPING * math.sqrt(pull)
        self._u += (-pull * self.x - drag * self._u - cabinet[0]) * seconds
        self._v += (-pull * self.y - drag * self._v - cabinet[1]) * seconds
        self.x += self._u * seconds
        self.y += self._v * seconds
