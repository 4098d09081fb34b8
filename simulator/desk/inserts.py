"""Draws inserts, the lamps under the playfield; each is drawn once lit and once unlit."""

import math
from typing import NamedTuple

import pygame

from firmware.devices.lamps import lit
from simulator.desk.canvas import Canvas
from simulator.drawing import colours
from simulator.drawing.drawing import Drawing
from simulator.drawing.pieces import Insert
from simulator.drawing.style import Colour

INK: Colour = (24, 18, 10)
HALO = 2.1


class Shown(NamedTuple):
    """An insert at one instant."""

    insert: Insert
    is_lit: bool


class Inserts:
    """All inserts of a drawing; a millimetre is `scale` pixels."""

    def __init__(self, drawing: Drawing, scale: float) -> None:
        self._drawing = drawing
        self._scale = scale
        self._images = {
            (insert.lamp, on): self._image(insert, on) for insert in drawing.inserts for on in (False, True)
        }

    def draw(self, surface: pygame.Surface, lamps: dict[str, int], now_ms: int) -> None:
        """Draw every insert as it is at `now_ms`; lit ones last, so that their glow covers the others."""
        state = [Shown(insert, lit(lamps[insert.lamp], now_ms)) for insert in self._drawing.inserts]
        for insert, on in sorted(state, key=lambda one: one.is_lit):
            self._put(surface, insert, on)

    def draw_dark(self, surface: pygame.Surface) -> None:
        """Draw every insert unlit."""
        for insert in self._drawing.inserts:
            self._put(surface, insert, False)

    def _put(self, surface: pygame.Surface, insert: Insert, on: bool) -> None:
        image = self._images[insert.lamp, on]
        middle = (round(insert.x * self._scale), round(insert.y * self._scale))
        surface.blit(image, image.get_rect(center=middle))

    def _image(self, insert: Insert, on: bool) -> pygame.Surface:
        halo = insert.size * HALO if insert.size < 20 else insert.size + 22
        reach = halo + 2
        pixels = math.ceil(reach * 2 * self._scale)
        canvas = Canvas((pixels, pixels), self._scale, (insert.x - reach, insert.y - reach))
        face = colours.lit(insert.colour)
        if on:
            canvas.glow(face, insert.x, insert.y, halo)
        for part in insert.parts:
            is_face = on and part.style.fill is not None
            canvas.part(part._replace(style=part.style._replace(fill=face)) if is_face else part)
        for text in insert.texts:
            canvas.label(text._replace(colour=INK) if on else text)
        return canvas.render()
