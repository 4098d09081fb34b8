"""The light that balls leave behind while several are out, so that the eye can follow each of them."""

from collections.abc import Iterable

import pygame

from simulator.desk.glow import Glow
from simulator.desk.warmth import LEVELS
from simulator.drawing.geometry import Point
from simulator.drawing.style import Colour

SHINE: Colour = (150, 170, 210)
REACH = 46  # mm around a ball
TAIL_REACH = 16  # mm around where it was
LASTS_MS = 220


class Trails:
    """Where each ball of a drawing at `scale` pixels a mm was lately."""

    def __init__(self, scale: float) -> None:
        self._scale = scale
        self._shine = Glow(SHINE, round(REACH * scale), 0.5)
        self._tail = Glow(SHINE, round(TAIL_REACH * scale), 0.4)
        self._places: dict[int, list[tuple[int, Point]]] = {}

    def draw(self, surface: pygame.Surface, balls: Iterable[tuple[int, Point]], now_ms: int) -> None:
        """Draw the light of these balls, by number and place in mm, and of where they were."""
        shown = dict(balls)
        self._places = {number: self._places.get(number, []) for number in shown}
        for number, (x, y) in shown.items():
            places = [one for one in self._places[number] if 0 <= now_ms - one[0] < LASTS_MS]
            for ms, (u, v) in places:
                if (u, v) != (x, y):
                    level = LEVELS * (LASTS_MS - now_ms + ms) // LASTS_MS
                    self._tail.add(surface, round(u * self._scale), round(v * self._scale), max(1, level))
            self._shine.add(surface, round(x * self._scale), round(y * self._scale), LEVELS)
            self._places[number] = [*places, (now_ms, (x, y))]
