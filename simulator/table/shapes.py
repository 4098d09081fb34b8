"""The shapes of a drawing, as the physics needs them: straight pieces, rounds, polygons."""

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from simulator.drawing.geometry import Point, bounds
from simulator.drawing.outlines import Outline
from simulator.drawing.parts import Part

ROUND_POINTS = 12  # the fewest of an outline that may be a circle
ROUND_ERROR = 0.02  # of the radius
THIN = 0.5  # mm, half the thickness of what has no stroke


class Piece(NamedTuple):
    """A straight piece with round ends."""

    start: Point
    end: Point
    half: float


class Disc(NamedTuple):
    """A round shape."""

    middle: Point
    radius: float


def solids(parts: Iterable[Part]) -> Iterator[Piece | Disc]:
    """The edges of painted shapes: each outline as pieces, or as a disc where it is a circle."""
    for part in parts:
        half = max(THIN, part.style.width / 2 if part.style.stroke else 0.0)
        for outline in part.outlines:
            disc = as_disc(outline)
            if disc:
                yield Disc(disc.middle, disc.radius + half)
            else:
                yield from (Piece(a, b, half) for a, b in sides(outline) if a != b)


def sides(outline: Outline) -> Iterator[tuple[Point, Point]]:
    """The sides of an outline in order; a closed one has the side from the last point to the first."""
    points, closed = outline
    yield from itertools.pairwise(points + points[:1] if closed else points)


def as_disc(outline: Outline) -> Disc | None:
    """The circle that a closed outline is; None for any other shape."""
    points, closed = outline
    if not closed or len(points) < ROUND_POINTS:
        return None
    middle = bounds(points).middle
    radii = [math.dist(middle, point) for point in points]
    radius = sum(radii) / len(radii)
    return Disc(middle, radius) if max(abs(r - radius) for r in radii) < ROUND_ERROR * radius else None


def holds(polygon: Sequence[Point], x: float, y: float) -> bool:
    """Whether a point lies in a polygon, by the number of sides that a ray crosses."""
    inside = False
    for (ax, ay), (bx, by) in itertools.pairwise((*polygon, polygon[0])):
        if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
            inside = not inside
    return inside


def distance(at: Point, start: Point, end: Point) -> float:
    """From a point to a straight piece."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = dx * dx + dy * dy
    part = ((at[0] - start[0]) * dx + (at[1] - start[1]) * dy) / length if length else 0.0
    part = min(1.0, max(0.0, part))
    return math.dist(at, (start[0] + part * dx, start[1] + part * dy))
