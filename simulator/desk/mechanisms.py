"""Draws what moves on the playfield: bumpers, slings, flippers, kickers, targets, flashers, contacts."""

import math
from collections.abc import Callable

import pygame

from simulator.desk.canvas import Canvas
from simulator.desk.machine import View
from simulator.desk.recent import Recent
from simulator.drawing.colours import DARK, WHITE, blend
from simulator.drawing.drawing import Drawing
from simulator.drawing.geometry import Point, bounds, direction
from simulator.drawing.parts import Part
from simulator.drawing.pieces import Bat, Bumper, Flasher, Kicker, Mark, Sling
from simulator.drawing.style import Colour, Style

FIRED: Colour = (255, 240, 150)
METAL: Colour = (176, 180, 182)
CLOSED: Colour = (120, 255, 130)
DOWN: Colour = (60, 58, 52)
BULGE = 10.0  # mm of a sling's rubber that kicks
STROKE = 10.0  # mm that a kicker moves
PIVOT, TIP = 11.0, 7.0  # half the width of a bat


class Mechanisms:
    """Draws the mechanisms from the view; a coil's stroke stays visible for a moment after its pulse."""

    def __init__(self, drawing: Drawing, scale: float) -> None:
        self._drawing = drawing
        self._scale = scale
        self._images: dict[tuple[object, ...], tuple[pygame.Surface, tuple[int, int]]] = {}

    def draw_below(self, surface: pygame.Surface, recent: Recent, now_ms: int) -> None:
        """Draw the mechanisms that inserts lie on: bumpers, slings."""
        self._below(surface, lambda coil: recent.fired_lately(coil, now_ms))

    def draw(self, surface: pygame.Surface, view: View, recent: Recent, now_ms: int) -> None:
        """Draw every other mechanism as it is at `now_ms`."""

        def is_up(bat: Bat) -> bool:
            held = bool(bat.hold) and view.coils[bat.hold].value != 0
            return held or recent.is_on(bat.strong, now_ms)

        closed = {mark.switch for mark in self._drawing.marks if view.switches[mark.switch]}
        fired = {one.coil for one in self._drawing.kickers if recent.fired_lately(one.coil, now_ms)}
        shining = {one.coil for one in self._drawing.flashers if recent.is_on(one.coil, now_ms)}
        up = {bat.name for bat in self._drawing.bats if is_up(bat)}
        self._above(surface, closed, fired | shining, up)

    def draw_below_at_rest(self, surface: pygame.Surface) -> None:
        """Draw the mechanisms that inserts lie on, at rest."""
        self._below(surface, lambda coil: False)

    def draw_at_rest(self, surface: pygame.Surface) -> None:
        """Draw every mechanism without a machine; inserts are drawn over it."""
        self._below(surface, lambda coil: False)
        self._above(surface, set(), set(), set())

    def _above(self, surface: pygame.Surface, closed: set[str], on: set[str], up: set[str]) -> None:
        for mark in self._drawing.marks:
            self._put(surface, mark.switch, mark.switch in closed, mark, _mark)
        for kicker in self._drawing.kickers:
            self._put(surface, kicker.coil, kicker.coil in on, kicker, _kicker)
        for flasher in self._drawing.flashers:
            self._put(surface, flasher.coil, flasher.coil in on, flasher, _flasher)
        for bat in self._drawing.bats:
            self._put(surface, bat.name, bat.name in up, bat, _bat)

    def _below(self, surface: pygame.Surface, fired: Callable[[str], bool]) -> None:
        for bumper in self._drawing.bumpers:
            self._put(surface, bumper.switch, fired(bumper.coil), bumper, _bumper)
        for sling in self._drawing.slings:
            self._put(surface, sling.switch, fired(sling.coil), sling, _sling)

    def _put(
        self, surface: pygame.Surface, name: str, on: bool, piece: object, draw: Callable[..., Canvas]
    ) -> None:
        key = (draw, name, on)
        if key not in self._images:
            canvas = draw(piece, on, self._scale)
            self._images[key] = canvas.render(), canvas.corner
        surface.blit(*self._images[key])


def _canvas(scale: float, points: list[Point], margin: float) -> Canvas:
    """A canvas that holds these points with a margin, its corner on a whole pixel."""
    box = bounds(points)
    left, top = (math.floor((low - margin) * scale) for low in (box.left, box.top))
    right, low = (math.ceil((high + margin) * scale) for high in (box.right, box.bottom))
    return Canvas((right - left, low - top), scale, (left / scale, top / scale))


def _outline(parts: tuple[Part, ...]) -> list[Point]:
    return [point for part in parts for point in part.points()]


def _bumper(bumper: Bumper, hot: bool, scale: float) -> Canvas:
    canvas = _canvas(scale, _outline(bumper.parts), bumper.radius * 0.6)
    if hot:
        canvas.glow(FIRED, bumper.x, bumper.y, bumper.radius * 1.5)
    for part in bumper.parts:
        stroke = FIRED if hot and part.style.stroke else part.style.stroke
        canvas.part(part._replace(style=part.style._replace(stroke=stroke)))
    return canvas


def _sling(sling: Sling, hot: bool, scale: float) -> Canvas:
    canvas = _canvas(scale, _outline(sling.parts), BULGE + 6)
    for part in sling.parts:
        canvas.part(part)
    if hot:
        x, y = (sling.upper[0] + sling.lower[0]) / 2, (sling.upper[1] + sling.lower[1]) / 2
        middle = (x + sling.out[0] * BULGE, y + sling.out[1] * BULGE)
        width = sling.parts[0].style.width + 1
        canvas.line(FIRED, width, (sling.upper, middle, sling.lower))
    return canvas


def _kicker(kicker: Kicker, hot: bool, scale: float) -> Canvas:
    canvas = _canvas(scale, [kicker.start, kicker.end], 26)
    u, v = direction(kicker.start, kicker.end)
    colour = kicker.part.style.stroke or METAL
    far = STROKE if hot else 0
    tip = (kicker.end[0] + u * far, kicker.end[1] + v * far)
    if hot:
        canvas.glow(FIRED, *kicker.start, 24)
    canvas.line(FIRED if hot else colour, kicker.part.style.width, (kicker.start, tip))
    canvas.disc(FIRED if hot else blend(colour, DARK, 0.4), *kicker.start, kicker.part.style.width * 1.3)
    return canvas


def _flasher(flasher: Flasher, hot: bool, scale: float) -> Canvas:
    canvas = _canvas(scale, _outline(flasher.parts), 28)
    for part in flasher.parts:
        fill = part.style.fill
        if hot and fill:
            bright = _bright(fill)
            canvas.glow(bright, flasher.x, flasher.y, flasher.size + 26, 160)
            part = part._replace(style=part.style._replace(fill=blend(bright, WHITE, 0.3)))
        canvas.part(part)
    return canvas


def _bright(colour: Colour) -> Colour:
    """The same hue, as bright as can be."""
    r, g, b = (round(value * 255 / max(1, *colour[:3])) for value in colour[:3])
    return r, g, b


def _bat(bat: Bat, up: bool, scale: float) -> Canvas:
    canvas = _canvas(scale, [bat.pivot, bat.rest, bat.up], PIVOT + 4)
    tip = bat.up if up else bat.rest
    colour = bat.part.style.stroke or METAL
    u, v = direction(bat.pivot, tip)
    for grow, shade in ((2.0, DARK), (0.0, blend(colour, WHITE, 0.3) if up else colour)):
        big, small = PIVOT + grow, TIP + grow
        x, y = bat.pivot
        sides = [(-v * big, u * big), (-v * small, u * small), (v * small, -u * small), (v * big, -u * big)]
        ends = [bat.pivot, tip, tip, bat.pivot]
        canvas.polygon(shade, [(a + p, b + q) for (a, b), (p, q) in zip(ends, sides, strict=True)])
        canvas.disc(shade, x, y, big)
        canvas.disc(shade, *tip, small)
    canvas.disc(METAL, *bat.pivot, 5)
    return canvas


def _mark(mark: Mark, closed: bool, scale: float) -> Canvas:
    canvas = _canvas(scale, _outline(mark.parts), 4)
    for part in mark.parts:
        canvas.part(part._replace(style=_closed(part, mark.drops)) if closed else part)
    return canvas


def _closed(part: Part, drops: bool) -> Style:
    style = part.style
    if drops:
        return style._replace(fill=style.fill and DOWN, stroke=style.stroke and DOWN)
    return style._replace(stroke=CLOSED) if style.stroke else style._replace(fill=CLOSED)
