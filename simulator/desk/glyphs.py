"""Draws displays: cells of fourteen segments, or digits of seven."""

from collections.abc import Sequence

import pygame

from firmware.devices import digits
from firmware.devices.segments import COMMA, POINT, segments
from simulator.desk.canvas import Canvas, Colour
from simulator.drawing.geometry import Point

LIT: Colour = (255, 186, 62)
UNLIT: Colour = (44, 30, 14)
GLASS: Colour = (16, 11, 6)

WIDE, HIGH = 10.0, 18.0  # a glyph's box, its segments' middle lines
THICK = 1.7
GAP = 0.22
SLANT = 0.1
CELL_WIDE, CELL_HIGH = 16.6, 25.0
LEFT, TOP = 2.2, 2.6


def _across(x: float, u: float, y: float) -> list[Point]:
    h = THICK / 2
    x, u = x + GAP, u - GAP
    return [(x, y), (x + h, y - h), (u - h, y - h), (u, y), (u - h, y + h), (x + h, y + h)]


def _down(x: float, y: float, v: float) -> list[Point]:
    h = THICK / 2
    y, v = y + GAP, v - GAP
    return [(x, y), (x + h, y + h), (x + h, v - h), (x, v), (x - h, v - h), (x - h, y + h)]


def _slope(x: float, y: float, u: float, v: float) -> list[Point]:
    """A diagonal from (x, y) to (u, v) with ends cut along the box."""
    dx = 1.5 if u > x else -1.5
    dy = 2.4 if v > y else -2.4
    return [(x, y), (x + dx, y), (u, v - dy), (u, v), (u - dx, v), (x, y + dy)]


_MID, _CENTRE = HIGH / 2, WIDE / 2
_IN = 1.3  # how far diagonals keep from the other segments

# In the order of the bits of firmware.devices.segments.
SHAPES: tuple[list[Point], ...] = (
    _across(0, WIDE, 0),
    _down(WIDE, 0, _MID),
    _down(WIDE, _MID, HIGH),
    _across(0, WIDE, HIGH),
    _down(0, _MID, HIGH),
    _down(0, 0, _MID),
    _across(0, _CENTRE, _MID),
    _across(_CENTRE, WIDE, _MID),
    _slope(_IN, _IN, _CENTRE - _IN, _MID - _IN),
    _down(_CENTRE, THICK / 2, _MID),
    _slope(WIDE - _IN, _IN, _CENTRE + _IN, _MID - _IN),
    _slope(_IN, HIGH - _IN, _CENTRE - _IN, _MID + _IN),
    _down(_CENTRE, _MID, HIGH - THICK / 2),
    _slope(WIDE - _IN, HIGH - _IN, _CENTRE + _IN, _MID + _IN),
)
DIGIT_SHAPES = (*SHAPES[:6], _across(0, WIDE, _MID))  # in the order of the bits of firmware.devices.digits
_DOT = (WIDE + 2.4, HIGH + 0.2)
_TAIL = [
    (WIDE + 1.9, HIGH + 0.6),
    (WIDE + 3.4, HIGH + 0.6),
    (WIDE + 2.3, HIGH + 3.4),
    (WIDE + 1.4, HIGH + 3.4),
]


class Display:
    """Draws cells of nine bits; each glyph is drawn once and cached."""

    shapes: tuple[list[Point], ...] = SHAPES

    def __init__(self, cell_width: int) -> None:
        self.cell_width = cell_width
        self.cell_height = round(cell_width * CELL_HIGH / CELL_WIDE)
        self._glyphs: dict[int, pygame.Surface] = {}

    def draw(self, surface: pygame.Surface, x: int, y: int, cells: Sequence[int]) -> None:
        """One line of cells from (x, y)."""
        for number, cell in enumerate(cells):
            surface.blit(self._glyph(self.bits(cell)), (x + number * self.cell_width, y))

    def bits(self, cell: int) -> int:
        """The segments of a cell that shine."""
        return segments(cell)

    def segment_point(self, column: int, segment: int) -> tuple[int, int]:
        """The pixel in the middle of a segment of a cell, counted from the line's upper left corner."""
        points = self.shapes[segment]
        x = sum(p[0] for p in points) / len(points)
        y = sum(p[1] for p in points) / len(points)
        u, v = _placed(x, y)
        scale = self.cell_width / CELL_WIDE
        return round(column * self.cell_width + u * scale), round(v * scale)

    def _glyph(self, bits: int) -> pygame.Surface:
        if bits not in self._glyphs:
            canvas = Canvas((self.cell_width, self.cell_height), self.cell_width / CELL_WIDE)
            for number, points in enumerate(self.shapes):
                canvas.polygon(LIT if bits >> number & 1 else UNLIT, [_placed(*point) for point in points])
            self._point(canvas, bits)
            self._glyphs[bits] = canvas.render()
        return self._glyphs[bits]

    def _point(self, canvas: Canvas, bits: int) -> None:
        canvas.disc(LIT if bits & (POINT | COMMA) else UNLIT, *_placed(*_DOT), 1.0)
        canvas.polygon(LIT if bits & COMMA else UNLIT, [_placed(*point) for point in _TAIL])


class Digits(Display):
    """Digits of seven segments and a point, which shows a comma as well."""

    shapes = DIGIT_SHAPES

    def bits(self, cell: int) -> int:
        """The segments of a cell that shine."""
        return digits.segments(cell)

    def _point(self, canvas: Canvas, bits: int) -> None:
        canvas.disc(LIT if bits & digits.POINT else UNLIT, *_placed(*_DOT), 1.2)


def _placed(x: float, y: float) -> Point:
    return LEFT + x + (HIGH - y) * SLANT, TOP + y
