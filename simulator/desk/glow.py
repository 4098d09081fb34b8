"""Light on what surrounds a lamp: it is added to the picture, so that two lights are brighter than one."""

import pygame

from simulator.desk.warmth import LEVELS
from simulator.drawing.style import Colour

RINGS = 24


class Glow:
    """A round light of `radius` pixels; `strength`: how much is added in its middle, 0 to 1."""

    def __init__(self, colour: Colour, radius: int, strength: float) -> None:
        self._radius = max(2, radius)
        self._colour = colour
        self._strength = strength
        self._images: dict[int, pygame.Surface] = {}

    def add(self, surface: pygame.Surface, x: int, y: int, level: int) -> None:
        """Add the light of a lamp at this level, 1 to LEVELS."""
        image = self._image(level)
        surface.blit(image, (x - self._radius, y - self._radius), special_flags=pygame.BLEND_RGB_ADD)

    def _image(self, level: int) -> pygame.Surface:
        if level not in self._images:
            self._images[level] = self._made(self._strength * level / LEVELS)
        return self._images[level]

    def _made(self, strength: float) -> pygame.Surface:
        """Rings from the outside in, each brighter by the square of its nearness."""
        size = 2 * self._radius
        image = pygame.Surface((size, size))
        for ring in range(RINGS):
            near = (ring + 1) / RINGS
            colour = [round(channel * strength * near * near) for channel in self._colour[:3]]
            pygame.draw.circle(image, colour, (self._radius, self._radius), self._radius * (1 - ring / RINGS))
        return image
