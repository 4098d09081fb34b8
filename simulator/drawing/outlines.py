"""The outlines of an element: every shape and path as lines through points, in user units."""

import itertools
import math
import re

from svg.path import parse_path
from svg.path.parser import InvalidPathError
from svg.path.path import Arc, Close, CubicBezier, Line, Move, Path, QuadraticBezier

from simulator.drawing.geometry import Point
from simulator.drawing.markup import Element
from simulator.drawing.style import number

ROUND = 40  # points of a circle
STEP = 3.0  # units between the points of a curve, about
FEWEST, MOST = 6, 48

_PATH = re.compile(r"\s*[Mm][\sMmZzLlHhVvCcSsQqTtAaEe0-9+\-.,]*")

Outline = tuple[tuple[Point, ...], bool]
"""Points, and whether the last is joined to the first."""

SHAPES = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")


def outlines(element: Element) -> list[Outline]:
    """The outlines of one of SHAPES. Raises ValueError with what cannot be read."""
    if element.tag == "path":
        return _path(element.attributes.get("d", ""))
    if element.tag == "line":
        x1, y1, x2, y2 = (_number(element, name) for name in ("x1", "y1", "x2", "y2"))
        return [(((x1, y1), (x2, y2)), False)]
    if element.tag in ("polyline", "polygon"):
        return [(_points(element.attributes.get("points", "")), element.tag == "polygon")]
    if element.tag == "rect":
        return [(_rectangle(element), True)]
    rx = _number(element, "r" if element.tag == "circle" else "rx")
    ry = _number(element, "r" if element.tag == "circle" else "ry")
    x, y = _number(element, "cx"), _number(element, "cy")
    return [(tuple(_arc(x, y, rx, ry, 0, 360, ROUND)), True)]


def _number(element: Element, name: str) -> float:
    return number(element.attributes.get(name, "0"))


def _points(text: str) -> tuple[Point, ...]:
    values = [number(word) for word in re.split(r"[\s,]+", text.strip()) if word]
    if len(values) < 4 or len(values) % 2:
        raise ValueError(f"points '{_short(text)}'")
    return tuple(zip(values[::2], values[1::2], strict=True))


def _rectangle(element: Element) -> tuple[Point, ...]:
    x, y, w, h = (_number(element, name) for name in ("x", "y", "width", "height"))
    given = [element.attributes[name] for name in ("rx", "ry") if name in element.attributes]
    radius = min(number(given[0]) if given else 0, w / 2, h / 2)
    if not radius:
        return (x, y), (x + w, y), (x + w, y + h), (x, y + h)
    corners = ((x + w, y, -1, 1), (x + w, y + h, -1, -1), (x, y + h, 1, -1), (x, y, 1, 1))
    points: list[Point] = []
    for quarter, (u, v, right, down) in enumerate(corners):
        at = (u + right * radius, v + down * radius)
        points += _arc(*at, radius, radius, 90 * quarter - 90, 90 * quarter, 6, last=True)
    return tuple(points)


def _arc(
    x: float, y: float, rx: float, ry: float, start: float, end: float, count: int, last: bool = False
) -> list[Point]:
    """Points from `start` to `end` degrees, clockwise from the right; the end itself only with `last`."""
    angles = [math.radians(start + (end - start) * step / count) for step in range(count + last)]
    return [(x + rx * math.cos(angle), y + ry * math.sin(angle)) for angle in angles]


def _path(text: str) -> list[Outline]:
    if not _PATH.fullmatch(text):
        raise ValueError(f"path '{_short(text)}'")
    try:
        return _lines(parse_path(text))
    except (InvalidPathError, ValueError, IndexError, ArithmeticError):
        raise ValueError(f"path '{_short(text)}'") from None


def _lines(segments: Path) -> list[Outline]:
    found: list[tuple[list[Point], bool]] = []
    for segment in segments:
        if isinstance(segment, Move):
            found.append(([_point(segment.end)], False))
        elif isinstance(segment, Close):
            found[-1] = (found[-1][0], True)
        elif isinstance(segment, (Line, CubicBezier, QuadraticBezier, Arc)):
            if found[-1][1]:  # a path goes on from where it was closed
                found.append(([_point(segment.start)], False))
            found[-1][0].extend(_segment(segment))
    return [(tuple(points), closed) for points, closed in found if len(points) > 1]


def _segment(segment: Line | CubicBezier | QuadraticBezier | Arc) -> list[Point]:
    """The points of a segment after its start."""
    if isinstance(segment, Line):
        return [_point(segment.end)]
    rough = [segment.point(step / 4) for step in range(5)]
    length = sum(abs(b - a) for a, b in itertools.pairwise(rough))
    count = min(MOST, max(FEWEST, round(length / STEP)))
    return [_point(segment.point(step / count)) for step in range(1, count + 1)]


def _point(value: complex) -> Point:
    return value.real, value.imag


def _short(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= 40 else words[:37] + "..."
