"""Draws what moves on the playfield: bumpers, slings, flippers, kickers, targets, flashers, contacts."""

import math
from collections.abc import Callable

import pygame

from firmware.devices.lamps import lit
from simulator.desk.canvas import Canvas, Colour, Point, blend, rotated
from simulator.desk.inserts import LAMP_COLOURS
from simulator.desk.layout import Bumper, Flasher, FlipperBat, Kicker, Layout, Mark, Sling
from simulator.desk.machine import View
from simulator.desk.recent import Recent

FIRED: Colour = (255, 240, 150)
METAL: Colour = (176, 180, 182)
RUBBER: Colour = (216, 206, 186)
BAT: Colour = (238, 190, 70)
BAT_UP: Colour = (255, 226, 130)
CLOSED: Colour = (120, 255, 130)
OPEN: Colour = (120, 124, 118)
DARK: Colour = (20, 18, 16)
SLING_FACE: Colour = (122, 76, 34)
CAP: Colour = (92, 58, 104)
SPOKE: Colour = (150, 104, 160)


class Mechanisms:
    """Draws the mechanisms from the view; a coil's stroke stays visible for a moment after its pulse."""

    def __init__(self, layout: Layout, scale: float) -> None:
        self._layout = layout
        self._scale = scale
        self._images: dict[tuple[object, ...], pygame.Surface] = {}

    def draw(self, surface: pygame.Surface, view: View, recent: Recent, now_ms: int) -> None:
        """Draw every mechanism as it is at `now_ms`."""
        for mark in self._layout.marks:
            self._put(surface, mark.x, mark.y, 26, ("mark", mark, view.switches[mark.switch]), _mark)
        for bumper in self._layout.bumpers:
            hot = recent.fired_lately(bumper.coil, now_ms)
            on = lit(view.lamps[bumper.lamp], now_ms)
            self._put(surface, bumper.x, bumper.y, bumper.radius * 1.6, ("bumper", bumper, on, hot), _bumper)
        for sling in self._layout.slings:
            self._put(
                surface,
                *_middle(sling),
                130,
                ("sling", sling, recent.fired_lately(sling.coil, now_ms)),
                _sling,
            )
        for kicker in self._layout.kickers:
            hot = recent.fired_lately(kicker.coil, now_ms)
            self._put(surface, kicker.x, kicker.y, 30, ("kicker", kicker, hot), _kicker)
        for flasher in self._layout.flashers:
            hot = recent.is_on(flasher.coil, now_ms)
            self._put(surface, flasher.x, flasher.y, 34, ("flasher", flasher, hot), _flasher)
        for bat in self._layout.flippers:
            up = view.coils[bat.hold].value != 0 or recent.is_on(bat.strong, now_ms)
            self._put(surface, *bat.pivot, bat.length + 16, ("bat", bat, up), _bat)

    def _put(
        self,
        surface: pygame.Surface,
        x: float,
        y: float,
        reach: float,
        key: tuple[object, ...],
        draw: Callable[..., None],
    ) -> None:
        if key not in self._images:
            pixels = math.ceil(reach * 2 * self._scale)
            canvas = Canvas((pixels, pixels), self._scale, (x - reach, y - reach))
            draw(canvas, *key[1:])
            self._images[key] = canvas.render()
        image = self._images[key]
        surface.blit(image, (round((x - reach) * self._scale), round((y - reach) * self._scale)))


def _middle(sling: Sling) -> Point:
    return (sling.upper[0] + sling.lower[0]) / 2, (sling.upper[1] + sling.lower[1]) / 2


def _bumper(canvas: Canvas, bumper: Bumper, on: bool, hot: bool) -> None:
    x, y, radius = bumper.x, bumper.y, bumper.radius
    if hot or on:
        canvas.glow(FIRED if hot else LAMP_COLOURS["white"], x, y, radius * 1.5)
    canvas.disc(DARK, x, y, radius + 2)
    canvas.disc(FIRED if hot else METAL, x, y, radius if hot else radius - 1)
    canvas.disc(DARK, x, y, radius - 5)
    canvas.disc(blend(CAP, (255, 255, 255), 0.75) if on else CAP, x, y, radius - 7)
    for px, py in rotated([(0, -1), (0.87, 0.5), (-0.87, 0.5)], 0, x, y, radius * 0.42):
        canvas.disc(SPOKE, px, py, radius * 0.2)
    canvas.disc(BAT, x, y, radius * 0.2)


def _sling(canvas: Canvas, sling: Sling, hot: bool) -> None:
    mx, my = _middle(sling)
    inward = 1 if sling.corner[0] < mx else -1
    bulge = 12 if hot else 0
    middle = (mx + inward * bulge, my - bulge * 0.5)
    canvas.polygon(SLING_FACE, (sling.upper, middle, sling.lower, sling.corner))
    canvas.line(RUBBER, 4, (sling.upper, sling.corner, sling.lower))
    canvas.line(FIRED if hot else RUBBER, 6, (sling.upper, middle, sling.lower))
    for point in (sling.upper, sling.lower, sling.corner):
        canvas.disc(METAL, *point, 5)


def _kicker(canvas: Canvas, kicker: Kicker, hot: bool) -> None:
    reach = 18 if hot else 8
    angle = math.radians(kicker.angle)
    tip = (kicker.x + math.sin(angle) * reach, kicker.y - math.cos(angle) * reach)
    if hot:
        canvas.glow(FIRED, kicker.x, kicker.y, 26)
    canvas.line(FIRED if hot else METAL, 4, ((kicker.x, kicker.y), tip))
    canvas.disc(FIRED if hot else (96, 100, 104), kicker.x, kicker.y, 5)


def _flasher(canvas: Canvas, flasher: Flasher, hot: bool) -> None:
    colour = LAMP_COLOURS.get(flasher.colour, LAMP_COLOURS["white"])
    if hot:
        canvas.glow(colour, flasher.x, flasher.y, 32, 160)
    canvas.disc(DARK, flasher.x, flasher.y, 9)
    canvas.disc(
        blend(colour, (255, 255, 255), 0.3) if hot else blend(colour, DARK, 0.6), flasher.x, flasher.y, 7.5
    )


def _bat(canvas: Canvas, bat: FlipperBat, up: bool) -> None:
    angle = math.radians(bat.raised if up else bat.rest)
    x, y = bat.pivot
    tip = (x + math.sin(angle) * bat.length, y - math.cos(angle) * bat.length)
    nx, ny = math.cos(angle), math.sin(angle)
    for grow, colour in ((2.5, DARK), (0.0, BAT_UP if up else BAT)):
        big, small = 12 + grow, 7 + grow
        canvas.polygon(
            colour,
            (
                (x + nx * big, y + ny * big),
                (tip[0] + nx * small, tip[1] + ny * small),
                (tip[0] - nx * small, tip[1] - ny * small),
                (x - nx * big, y - ny * big),
            ),
        )
        canvas.disc(colour, x, y, big)
        canvas.disc(colour, *tip, small)
    canvas.disc(METAL, x, y, 5)


def _mark(canvas: Canvas, mark: Mark, closed: bool) -> None:
    colour = CLOSED if closed else OPEN
    x, y = mark.x, mark.y
    if mark.kind == "rollover":
        canvas.line(DARK, 6, ((x, y - 9), (x, y + 9)))
        canvas.line(colour, 3, ((x, y - 8), (x, y + 8)))
    elif mark.kind in ("gate", "spinner"):
        half = 17 if mark.kind == "spinner" else 22
        canvas.line(DARK, 6, ((x - half, y), (x + half, y)))
        canvas.line(colour, 3, ((x - half, y), (x + half, y)))
        if mark.kind == "spinner":
            canvas.polygon(
                colour if closed else METAL,
                ((x - 13, y - 5), (x + 13, y - 5), (x + 13, y + 5), (x - 13, y + 5)),
            )
    elif mark.kind in ("target", "drop"):
        down = mark.kind == "drop" and closed
        shape = rotated([(-1, -0.28), (1, -0.28), (1, 0.28), (-1, 0.28)], mark.angle, x, y, 13)
        canvas.polygon(
            DARK, rotated([(-1.15, -0.45), (1.15, -0.45), (1.15, 0.45), (-1.15, 0.45)], mark.angle, x, y, 13)
        )
        canvas.polygon((60, 58, 52) if down else (CLOSED if closed else (226, 196, 120)), shape)
    elif mark.kind == "hole":
        canvas.ring(colour, x, y, 15, 2.5)
    elif mark.kind == "slot":
        canvas.ring(colour, x, y, 12, 2)
    else:
        canvas.disc(DARK, x, y, 5)
        canvas.disc(colour, x, y, 3.5)
