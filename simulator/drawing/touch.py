"""Where a ball lies that touches something: in front of targets and rubbers, on a bat, else in the middle."""

import itertools
import math

from simulator.drawing.geometry import Point, direction
from simulator.drawing.items import Item
from simulator.drawing.machine import BALL_MM

BALL = BALL_MM / 2
BAT_PLACE = 0.45  # of the bat's length, from the pivot
BAT_HALF = 9.0


def in_front(item: Item, towards: Point) -> Point:
    """Beside the longest side of a shape, on the side of the point `towards`."""
    a, b = longest_side(item)
    middle = item.box().middle
    ux, uy = direction(a, b)
    normal = (-uy, ux)
    if (towards[0] - middle[0]) * normal[0] + (towards[1] - middle[1]) * normal[1] < 0:
        normal = (uy, -ux)
    depth = max((x - middle[0]) * normal[0] + (y - middle[1]) * normal[1] for x, y in item.points())
    away = depth + BALL
    return middle[0] + normal[0] * away, middle[1] + normal[1] * away


def below_round(item: Item, towards: Point) -> Point:
    """Outside a round shape, on the side of the point `towards`."""
    box = item.box()
    x, y = box.middle
    u, v = direction((x, y), towards)
    away = box.width / 2 + BALL
    return x + u * away, y + v * away


def on_bat(pivot: Point, tip: Point) -> Point:
    """On a bat at rest."""
    ux, uy = direction(pivot, tip)
    nx, ny = (uy, -ux) if ux > 0 else (-uy, ux)
    length = math.dist(pivot, tip) * BAT_PLACE
    return pivot[0] + ux * length + nx * (BALL + BAT_HALF), pivot[1] + uy * length + ny * (BALL + BAT_HALF)


def longest_side(item: Item) -> tuple[Point, Point]:
    """The longest straight piece of a shape's outlines."""
    sides = []
    for part in item.parts:
        for points, closed in part.outlines:
            sides += list(itertools.pairwise(points + points[:1] if closed else points))
    return max(sides, key=lambda side: math.dist(*side))


def kicking_side(item: Item) -> tuple[Point, Point, Point]:
    """A sling's longest side from its upper to its lower end, and the unit vector away from the rest."""
    a, b = sorted(longest_side(item), key=lambda point: point[1])
    u, v = direction(a, b)
    points = item.points()
    x, y = sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)
    out = (-v, u)
    if (x - a[0]) * out[0] + (y - a[1]) * out[1] > 0:
        out = (v, -u)
    return a, b, out
