"""Points, boxes and affine matrices, in millimetres of the playfield; x to the right, y to the player."""

import itertools
import math
import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

Point = tuple[float, float]

_CALL = re.compile(r"\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^)]*)\)")


class Box(NamedTuple):
    """An upright rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self) -> Point:
        """Its middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    @property
    def width(self) -> float:
        """Its width."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Its height."""
        return self.bottom - self.top

    def holds(self, x: float, y: float) -> bool:
        """Whether the point lies in it, or on its edge."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom


class Matrix(NamedTuple):
    """An affine map: x to ax + cy + e, y to bx + dy + f, as SVG writes it."""

    a: float = 1
    b: float = 0
    c: float = 0
    d: float = 1
    e: float = 0
    f: float = 0

    def after(self, first: "Matrix") -> "Matrix":
        """The map that does `first`, then this one."""
        return Matrix(
            self.a * first.a + self.c * first.b,
            self.b * first.a + self.d * first.b,
            self.a * first.c + self.c * first.d,
            self.b * first.c + self.d * first.d,
            self.a * first.e + self.c * first.f + self.e,
            self.b * first.e + self.d * first.f + self.f,
        )

    def point(self, x: float, y: float) -> Point:
        """Where a point goes."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    @property
    def factor(self) -> float:
        """How much longer lengths become, on the average of all directions."""
        return math.sqrt(abs(self.a * self.d - self.b * self.c))

    @property
    def degrees(self) -> float:
        """How far it turns the x axis, clockwise."""
        return math.degrees(math.atan2(self.b, self.a))

    def inverse(self) -> "Matrix":
        """The map back. Raises ZeroDivisionError when everything falls on a line."""
        det = self.a * self.d - self.b * self.c
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Matrix(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))


def rotation(degrees: float, x: float = 0, y: float = 0) -> Matrix:
    """A turn clockwise around (x, y)."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return Matrix(cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)


def transform(text: str) -> Matrix:
    """The matrix of a `transform` attribute. Raises ValueError with what cannot be read."""
    matrix = Matrix()
    rest = text.strip()
    while rest:
        call = _CALL.match(rest)
        if call is None:
            raise ValueError(f"transform '{text}'")
        matrix = matrix.after(_step(text, call[1], re.split(r"[\s,]+", call[2].strip())))
        rest = rest[call.end() :].strip()
    return matrix


def _step(text: str, word: str, numbers: Sequence[str]) -> Matrix:
    try:
        values = [float(number) for number in numbers]
    except ValueError:
        raise ValueError(f"transform '{text}'") from None
    if word == "matrix" and len(values) == 6:
        return Matrix(*values)
    if word == "translate" and len(values) in (1, 2):
        return Matrix(e=values[0], f=values[1] if len(values) == 2 else 0)
    if word == "scale" and len(values) in (1, 2):
        return Matrix(a=values[0], d=values[-1])
    if word == "rotate" and len(values) in (1, 3):
        return rotation(*values)
    if word.startswith("skew") and len(values) == 1:
        slope = math.tan(math.radians(values[0]))
        return Matrix(c=slope) if word == "skewX" else Matrix(b=slope)
    raise ValueError(f"transform '{text}'")


def bounds(points: Iterable[Point]) -> Box:
    """The smallest box around at least one point."""
    listed = list(points)
    xs, ys = [x for x, _ in listed], [y for _, y in listed]
    return Box(min(xs), min(ys), max(xs), max(ys))


def direction(a: Point, b: Point) -> Point:
    """The unit vector from a to b; (0, -1), away from the player, where they are the same."""
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (0.0, -1.0)


def along(path: Sequence[Point], part: float) -> Point:
    """The point at `part` (0 to 1) of a path's length."""
    lengths = [math.dist(a, b) for a, b in itertools.pairwise(path)]
    left = part * sum(lengths)
    for (a, b), length in zip(itertools.pairwise(path), lengths, strict=True):
        if left <= length and length:
            return a[0] + (b[0] - a[0]) * left / length, a[1] + (b[1] - a[1]) * left / length
        left -= length
    return path[-1]
