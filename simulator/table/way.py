"""Ways above the playfield: ramps and wires, along which a ball rolls by its speed and its height."""

import bisect
import itertools
import math
from collections.abc import Sequence

from simulator.drawing.geometry import Point
from simulator.table.materials import BALL, GRAVITY, RADIUS, RESISTANCE, ROLLING

END_HEIGHT = 18.0  # mm, of the end of a wire, from which the ball drops
SPREAD = 90.0  # mm after the mouth in which a ball comes to the middle of the way


class Way:
    """A line with heights (mm) at its points, and switches along it. `bed`: the outline with the mouth."""

    def __init__(
        self,
        name: str,
        points: Sequence[Point],
        heights: Sequence[float],
        switches: Sequence[tuple[str, float]],
        bed: Sequence[Point],
        slope: float,
    ) -> None:
        self.name = name
        self.points = list(points)
        self.switches = list(switches)
        self.bed = list(bed)
        lengths = [math.dist(a, b) for a, b in itertools.pairwise(points)]
        self.starts = [0.0, *itertools.accumulate(lengths)]
        self.length = self.starts[-1]
        self.heights = list(heights)
        self._pull = [
            self._acceleration(at, length, math.radians(slope)) for at, length in enumerate(lengths)
        ]

    def _acceleration(self, at: int, length: float, slope: float) -> float:
        """Along the piece `at`: gravity, by its rise above the playfield and by the playfield's slope."""
        rise = (self.heights[at + 1] - self.heights[at]) / length
        down = (self.points[at + 1][1] - self.points[at][1]) / length
        return ROLLING * GRAVITY * (down * math.sin(slope) - rise * math.cos(slope))

    def piece(self, s: float) -> int:
        """The number of the piece at `s` mm from the mouth."""
        return min(max(bisect.bisect_right(self.starts, s) - 1, 0), len(self._pull) - 1)

    def pull(self, s: float) -> float:
        """The acceleration along the way at `s`, mm/s²."""
        return self._pull[self.piece(s)]

    @property
    def level_places(self) -> list[Point]:
        """Where pieces begin on which a ball lies still: they pull less than rolling resistance holds."""
        held = RESISTANCE * GRAVITY
        return [point for point, pull in zip(self.points, self._pull, strict=False) if abs(pull) < held]

    def direction(self, s: float) -> Point:
        """The unit vector along the way at `s`."""
        at = self.piece(s)
        (ax, ay), (bx, by) = self.points[at], self.points[at + 1]
        length = self.starts[at + 1] - self.starts[at]
        return (bx - ax) / length, (by - ay) / length

    def place(self, s: float, aside: float = 0.0) -> Point:
        """The point at `s`, for a ball that came in `aside` mm to the right of the middle."""
        at = self.piece(s)
        (x, y), (u, v) = self.points[at], self.direction(s)
        on = s - self.starts[at]
        left = aside * max(0.0, 1 - max(0.0, s) / SPREAD)
        return x + u * on - v * left, y + v * on + u * left

    def height(self, s: float) -> float:
        """How high the way is at `s`, mm above the playfield."""
        at = self.piece(s)
        part = (s - self.starts[at]) / (self.starts[at + 1] - self.starts[at])
        return self.heights[at] + (self.heights[at + 1] - self.heights[at]) * min(1.0, max(0.0, part))


class Ride:
    """A ball on a way: `s` mm from the mouth, `speed` mm/s along it."""

    def __init__(self, way: Way, s: float, speed: float, aside: float = 0.0) -> None:
        self.way = way
        self.s = s
        self.speed = speed
        self.aside = aside
        self.farthest = s

    @property
    def place(self) -> Point:
        """Where the ball is, mm."""
        return self.way.place(self.s, self.aside)

    def step(self, seconds: float, cabinet: Point = (0.0, 0.0)) -> None:
        """Let time pass; `cabinet`: how it accelerates (mm/s²)."""
        drag = math.copysign(RESISTANCE * GRAVITY, self.speed)
        u, v = self.way.direction(self.s)
        pushed = ROLLING * (cabinet[0] * u + cabinet[1] * v)
        self.speed += (self.way.pull(self.s) - pushed - drag) * seconds
        self.s += self.speed * seconds
        self.farthest = max(self.farthest, self.s)

    def is_over(self, place: float) -> bool:
        """Whether the ball touches a switch at `place` mm of the way."""
        return abs(self.s - place) < RADIUS


def collide(lower: Ride, upper: Ride) -> None:
    """Let two balls that overlap on a way meet along it; `lower` is nearer to the mouth.

    Equal masses on a line: momentum is kept, and speeds part by the restitution (Halliday, Resnick, Walker,
    eq. 9-50 and ch. 9-7). The time since they touched goes on with the new speeds.
    """
    overlap = 2 * RADIUS - (upper.s - lower.s)
    closing = lower.speed - upper.speed
    if overlap <= 0:
        return
    if closing <= 0:
        apart = overlap / 2
    else:
        exchanged = (1 + BALL) / 2 * closing
        lower.speed -= exchanged
        upper.speed += exchanged
        apart = exchanged * overlap / closing
    lower.s -= apart
    upper.s += apart
