"""Draws the playfield's unchanging background, once, from the layout's ART table."""

import inspect
from collections.abc import Callable, Sequence

import pygame

from simulator.desk.canvas import Canvas, Point, blend, curve, regular_polygon, rotated
from simulator.desk.layout import Insert, Layout

LABEL_SIZE = 15
SHADE = (0, 0, 0)
PETALS = 7


def draw_background(layout: Layout, scale: float) -> pygame.Surface:
    """Everything that never changes, the labels of the inserts included. Raises GameError: a wrong row."""
    width, height = layout.size
    canvas = Canvas((round(width * scale), round(height * scale)), scale)
    for number, (word, *rest) in enumerate(layout.art, 1):
        layout.tables.require("ART", word, _ART)
        try:
            inspect.signature(_ART[word]).bind(canvas, layout, *rest)
        except TypeError as error:
            layout.tables.refuse(f"ART, row {number}, '{word}': {error}")
        _ART[word](canvas, layout, *rest)
    for insert in layout.inserts:
        _label(canvas, layout, insert)
    for kicker in layout.kickers:
        if kicker.label:
            canvas.text(layout.colours["faint"], LABEL_SIZE - 2, kicker.x, kicker.y - 24, kicker.label)
    return canvas.render()


def _label(canvas: Canvas, layout: Layout, insert: Insert) -> None:
    if insert.label and (insert.label_x or insert.label_y):
        at = insert.x + insert.label_x, insert.y + insert.label_y
        canvas.text(layout.colours["text"], LABEL_SIZE, *at, insert.label)


def _fill(canvas: Canvas, layout: Layout, colour: str, points: Sequence[Point]) -> None:
    canvas.polygon(layout.colours[colour], points)


def _smooth(canvas: Canvas, layout: Layout, colour: str, points: Sequence[Point]) -> None:
    canvas.polygon(layout.colours[colour], curve(points, closed=True))


def _line(canvas: Canvas, layout: Layout, colour: str, width: float, points: Sequence[Point]) -> None:
    canvas.line(layout.colours[colour], width, points)


def _curve(canvas: Canvas, layout: Layout, colour: str, width: float, points: Sequence[Point]) -> None:
    canvas.line(layout.colours[colour], width, curve(points))


def _disc(canvas: Canvas, layout: Layout, colour: str, x: float, y: float, radius: float) -> None:
    canvas.disc(layout.colours["wood"], x, y, radius + 3)
    canvas.disc(layout.colours[colour], x, y, radius)


def _comb(
    canvas: Canvas, layout: Layout, fill: str, edge: str, x: float, y: float, size: float, rings: int
) -> None:
    """Hexagons around (x, y) in so many rings, the outer ones fading into the ground."""
    wide, high = size * 1.5, size * 3**0.5
    for column in range(-rings, rings + 1):
        for row in range(-rings, rings + 1):
            distance = max(abs(column), abs(row), abs(column + row))
            if distance > rings:
                continue
            at = (x + column * wide, y + (row + column / 2) * high)
            part = 0.25 * distance
            outline = rotated(regular_polygon(6), 0, *at, size - 1)
            canvas.polygon(blend(layout.colours[edge], layout.colours["earth"], part), outline)
            inner = rotated(regular_polygon(6), 0, *at, size - 3.5)
            canvas.polygon(blend(layout.colours[fill], layout.colours["earth"], part), inner)


def _flower(canvas: Canvas, layout: Layout, colour: str, x: float, y: float, radius: float) -> None:
    for px, py in rotated(regular_polygon(PETALS, 15), 0, x, y, radius * 0.7):
        canvas.disc(blend(layout.colours[colour], SHADE, 0.35), px, py, radius * 0.34)
        canvas.disc(layout.colours[colour], px, py, radius * 0.29)


def _bee(canvas: Canvas, layout: Layout, x: float, y: float, size: float, angle: float) -> None:
    """A bee that flies to `angle`: wings, then a striped body from tail to head."""
    for side in (-1, 1):
        for u, v in rotated([(side * 0.6, 0.05), (side * 0.75, -0.15)], angle, x, y, size):
            canvas.disc(layout.colours["wing"], u, v, size * 0.36)
    spots = rotated([(0, 0.75), (0, 0.4), (0, 0.05), (0, -0.3), (0, -0.7)], angle, x, y, size)
    for number, (u, v) in enumerate(spots):
        colour = layout.colours["hole"] if number % 2 == 0 else layout.colours["honey"]
        canvas.disc(colour, u, v, size * (0.3 if number in (0, 4) else 0.42))


def _text(canvas: Canvas, layout: Layout, colour: str, size: float, x: float, y: float, words: str) -> None:
    canvas.text(layout.colours[colour], size, x, y, words)


_ART: dict[str, Callable[..., None]] = {
    "fill": _fill,
    "smooth": _smooth,
    "line": _line,
    "curve": _curve,
    "disc": _disc,
    "comb": _comb,
    "flower": _flower,
    "bee": _bee,
    "text": _text,
}
