"""Draws inserts, the lamps under the playfield, as bright as they are, with their light on what is around."""

import math
from collections.abc import Mapping

import pygame

from simulator.desk.canvas import Canvas
from simulator.desk.glow import Glow
from simulator.desk.palette import DARK, Palette
from simulator.desk.warmth import LEVELS
from simulator.drawing.colours import WHITE, blend
from simulator.drawing.drawing import Drawing
from simulator.drawing.pieces import Insert
from simulator.drawing.style import Colour

INK: Colour = (24, 18, 10)
HALO = 2.3  # sizes of an insert that its light reaches
WIDEST_HALO = 22  # mm beyond a large one
SHINES = 0.34


class Inserts:
    """All inserts of a drawing; a millimetre is `scale` pixels."""

    def __init__(self, drawing: Drawing, scale: float, palette: Palette = DARK) -> None:
        self._inserts = drawing.inserts
        self._scale = scale
        self._palette = palette
        self._dark = [self._image(insert, False) for insert in self._inserts]
        self._lit = [self._image(insert, True) for insert in self._inserts]
        self._glows = [self._glow(insert) for insert in self._inserts]

    def draw(self, surface: pygame.Surface, levels: Mapping[str, int]) -> None:
        """Draw every insert that is not dark; `draw_dark` has drawn them all."""
        for at, insert in enumerate(self._inserts):
            level = levels[insert.lamp]
            if level:
                self._lit[at].set_alpha(255 * level // LEVELS)
                self._put(surface, insert, self._lit[at])
        for at, insert in enumerate(self._inserts):
            level = levels[insert.lamp]
            if level:
                self._glows[at].add(surface, *self._middle(insert), level)

    def draw_dark(self, surface: pygame.Surface) -> None:
        """Draw every insert unlit."""
        for at, insert in enumerate(self._inserts):
            self._put(surface, insert, self._dark[at])

    def _middle(self, insert: Insert) -> tuple[int, int]:
        return round(insert.x * self._scale), round(insert.y * self._scale)

    def _put(self, surface: pygame.Surface, insert: Insert, image: pygame.Surface) -> None:
        surface.blit(image, image.get_rect(center=self._middle(insert)))

    def _colour(self, insert: Insert) -> Colour:
        lamps = self._palette.lamps
        return blend(lamps.get(insert.colour, lamps["white"]), WHITE, 0.12)

    def _glow(self, insert: Insert) -> Glow:
        reach = insert.size * HALO if insert.size < 20 else insert.size + WIDEST_HALO
        return Glow(self._colour(insert), round(reach * self._scale), SHINES)

    def _image(self, insert: Insert, on: bool) -> pygame.Surface:
        reach = insert.size * 1.5 + 2
        pixels = math.ceil(reach * 2 * self._scale)
        canvas = Canvas((pixels, pixels), self._scale, (insert.x - reach, insert.y - reach))
        for part in insert.parts:
            is_face = on and part.style.fill is not None
            face = part.style._replace(fill=self._colour(insert))
            canvas.part(part._replace(style=face) if is_face else part)
        for text in insert.texts:
            canvas.label(text._replace(colour=INK) if on else text)
        return canvas.render()
