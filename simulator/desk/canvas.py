"""Antialiased drawing: shapes are drawn SHARP times larger and scaled down; text is drawn last, unscaled."""

import itertools
import math
from collections.abc import Sequence

import pygame

from simulator.desk.lettering import lettering

Colour = tuple[int, int, int] | tuple[int, int, int, int]
Point = tuple[float, float]

SHARP = 3
CURVE_STEPS = 14
TURN = 360


class Canvas:
    """A transparent surface of `size` pixels, drawn in units of `scale` pixels from `origin`."""

    def __init__(self, size: tuple[int, int], scale: float = 1.0, origin: Point = (0, 0)) -> None:
        self._size = size
        self._scale = scale
        self._origin = origin
        self._large = pygame.Surface((size[0] * SHARP, size[1] * SHARP), pygame.SRCALPHA)
        self._texts: list[tuple[str, Colour, int, float, float]] = []

    def polygon(self, colour: Colour, points: Sequence[Point]) -> None:
        """A filled polygon."""
        pygame.draw.polygon(self._large, colour, [self._at(*point) for point in points])

    def line(self, colour: Colour, width: float, points: Sequence[Point]) -> None:
        """A line with round joints."""
        half = width / 2
        for (x, y), (u, v) in itertools.pairwise(points):
            length = math.hypot(u - x, v - y) or 1
            dx, dy = (v - y) / length * half, (x - u) / length * half
            self.polygon(colour, ((x + dx, y + dy), (u + dx, v + dy), (u - dx, v - dy), (x - dx, y - dy)))
        for x, y in points:
            self.disc(colour, x, y, half)

    def disc(self, colour: Colour, x: float, y: float, radius: float) -> None:
        """A filled circle, one pixel at least."""
        pygame.draw.circle(self._large, colour, self._at(x, y), max(1, radius * self._scale * SHARP))

    def ring(self, colour: Colour, x: float, y: float, radius: float, width: float) -> None:
        """A circle's outline, `width` units wide."""
        pixels = max(1, round(width * self._scale * SHARP))
        pygame.draw.circle(self._large, colour, self._at(x, y), radius * self._scale * SHARP, pixels)

    def glow(self, colour: Colour, x: float, y: float, radius: float, strength: int = 110) -> None:
        """A halo that fades out towards `radius`; `strength` is its alpha in the middle, 0 to 255."""
        steps = 12
        for step in range(steps):
            alpha = round(strength * ((step + 1) / steps) ** 2)
            self.disc((*colour[:3], alpha), x, y, radius * (1 - step / steps))

    def text(self, colour: Colour, size: float, x: float, y: float, words: str) -> None:
        """Text centred at (x, y); `size` in units."""
        self._texts.append((words, colour, round(size * self._scale), x, y))

    def render(self) -> pygame.Surface:
        """The finished surface, scaled down, with its texts."""
        shown = pygame.transform.smoothscale(self._large, self._size)
        for words, colour, pixels, x, y in self._texts:
            image = lettering(words, pixels, colour)
            at = ((x - self._origin[0]) * self._scale, (y - self._origin[1]) * self._scale)
            shown.blit(image, image.get_rect(center=(round(at[0]), round(at[1]))))
        return shown

    def _at(self, x: float, y: float) -> Point:
        grow = self._scale * SHARP
        return (x - self._origin[0]) * grow, (y - self._origin[1]) * grow


def curve(points: Sequence[Point], closed: bool = False) -> list[Point]:
    """A smooth line through the points (a Catmull-Rom spline)."""
    count = len(points)
    smooth: list[Point] = []
    for at in range(count if closed else count - 1):
        if closed:
            p0, p1, p2, p3 = (points[(at + k) % count] for k in (-1, 0, 1, 2))
        else:
            p0, p1, p2, p3 = (points[min(max(at + k, 0), count - 1)] for k in (-1, 0, 1, 2))
        for step in range(CURVE_STEPS):
            smooth.append(_between(p0, p1, p2, p3, step / CURVE_STEPS))
    return smooth if closed else [*smooth, points[-1]]


def _between(p0: Point, p1: Point, p2: Point, p3: Point, t: float) -> Point:
    def one(a: float, b: float, c: float, d: float) -> float:
        return 0.5 * (
            2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3
        )

    return one(p0[0], p1[0], p2[0], p3[0]), one(p0[1], p1[1], p2[1], p3[1])


def rotated(points: Sequence[Point], degrees: float, x: float, y: float, size: float) -> list[Point]:
    """A shape of size 1 around the origin: rotated clockwise, scaled to `size`, moved to (x, y)."""
    angle = math.radians(degrees)
    cos, sin = math.cos(angle) * size, math.sin(angle) * size
    return [(x + u * cos - v * sin, y + u * sin + v * cos) for u, v in points]


def regular_polygon(count: int, first: float = 0) -> list[Point]:
    """The corners of a regular polygon of radius 1, the first at `first` degrees."""
    angles = [math.radians(first + TURN * k / count) for k in range(count)]
    return [(math.cos(a), math.sin(a)) for a in angles]


def blend(colour: Colour, other: Colour, part: float) -> tuple[int, int, int]:
    """The colour at `part` (0 to 1) of the way from one colour to the other."""
    a, b, c = (round(x + (y - x) * part) for x, y in zip(colour[:3], other[:3], strict=True))
    return a, b, c
