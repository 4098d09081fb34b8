"""Draws inserts, the lamps under the playfield; each is drawn once lit and once unlit."""

import math
from typing import NamedTuple

import pygame

from firmware.devices.lamps import lit
from simulator.desk.canvas import Canvas, Colour, Point, blend, regular_polygon, rotated
from simulator.desk.layout import Insert, Layout

LAMP_COLOURS: dict[str, Colour] = {
    "amber": (255, 176, 40),
    "white": (246, 242, 222),
    "red": (255, 72, 52),
    "violet": (200, 112, 255),
    "blue": (86, 164, 255),
    "green": (96, 232, 110),
    "yellow": (255, 226, 70),
}
DARK: Colour = (14, 12, 10)
RIM: Colour = (196, 190, 172)
INK: Colour = (24, 18, 10)
HALO = 2.1

_ARROW: list[Point] = [
    (0, -1),
    (0.85, 0.15),
    (0.38, 0.1),
    (0.38, 0.95),
    (-0.38, 0.95),
    (-0.38, 0.1),
    (-0.85, 0.15),
]
_BAR: list[Point] = [(-1, -0.62), (1, -0.62), (1, 0.62), (-1, 0.62)]
_SQUARE: list[Point] = [(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)]


def outline(shape: str) -> list[Point]:
    """A shape of size 1 around the origin, pointing away from the player."""
    if shape == "hexagon":
        return regular_polygon(6)
    return {"arrow": _ARROW, "bar": _BAR, "square": _SQUARE}.get(shape, regular_polygon(28))


class Shown(NamedTuple):
    """An insert at one instant."""

    insert: Insert
    is_lit: bool


class Inserts:
    """All inserts of a layout; a unit of the layout is `scale` pixels."""

    def __init__(self, layout: Layout, scale: float) -> None:
        self._layout = layout
        self._scale = scale
        self._images = {
            (insert.lamp, on): self._image(insert, on) for insert in layout.inserts for on in (0, 1)
        }

    def draw(self, surface: pygame.Surface, lamps: dict[str, int], now_ms: int) -> None:
        """Draw every insert as it is at `now_ms`; lit ones last, so that their glow covers the others."""
        state = [Shown(insert, lit(lamps[insert.lamp], now_ms)) for insert in self._layout.inserts]
        for insert, on in sorted(state, key=lambda one: one.is_lit):
            image = self._images[insert.lamp, int(on)]
            middle = (round(insert.x * self._scale), round(insert.y * self._scale))
            surface.blit(image, image.get_rect(center=middle))

    def _image(self, insert: Insert, on: int) -> pygame.Surface:
        colour = LAMP_COLOURS.get(self._layout.lamp_colours[insert.lamp], LAMP_COLOURS["white"])
        reach = insert.size * HALO + 2
        pixels = math.ceil(reach * 2 * self._scale)
        canvas = Canvas((pixels, pixels), self._scale, (-reach, -reach))
        if on:
            canvas.glow(colour, 0, 0, insert.size * HALO)
        shape = outline(insert.shape)
        canvas.polygon(
            blend(RIM, DARK, 0.15 if on else 0.45), rotated(shape, insert.angle, 0, 0, insert.size)
        )
        face = blend(colour, (255, 255, 255), 0.12) if on else blend(colour, DARK, 0.72)
        canvas.polygon(face, rotated(shape, insert.angle, 0, 0, insert.size - 2))
        if insert.label and not (insert.label_x or insert.label_y):
            ink = INK if on else blend(colour, (255, 255, 255), 0.35)
            canvas.text(ink, _letters(insert), 0, 0, insert.label)
        return canvas.render()


def _letters(insert: Insert) -> float:
    """The font size with which the label fits on its insert."""
    room = insert.size * (1.5 if insert.shape in ("hexagon", "bar") else 1.2)
    return min(room / max(len(insert.label), 1.4) * 2.0, insert.size * 1.35)
