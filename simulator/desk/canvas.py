"""Antialiased drawing: shapes are drawn SHARP times larger and scaled down; text is drawn last, unscaled."""

import itertools
import math
from collections.abc import Callable, Sequence

import pygame

from simulator.desk.lettering import SIGNS, lettering
from simulator.drawing.geometry import Point, bounds
from simulator.drawing.parts import Part, Text

Colour = tuple[int, int, int] | tuple[int, int, int, int]

SHARP = 3
FONT = 0.6875  # pygame's own font is this much smaller than its size says
ANCHORS = {"start": "midleft", "middle": "center", "end": "midright"}


class Canvas:
    """A transparent surface of `size` pixels, drawn in units of `scale` pixels from `origin`."""

    def __init__(self, size: tuple[int, int], scale: float = 1.0, origin: Point = (0, 0)) -> None:
        self._size = size
        self._scale = scale
        self._origin = origin
        self._large = pygame.Surface((size[0] * SHARP, size[1] * SHARP), pygame.SRCALPHA)
        self._texts: list[Text] = []

    @property
    def corner(self) -> tuple[int, int]:
        """The pixel of its upper left corner."""
        return round(self._origin[0] * self._scale), round(self._origin[1] * self._scale)

    def part(self, part: Part) -> None:
        """A shape as its style says: every outline is filled, then stroked."""
        style = part.style
        if style.fill is not None:
            self._blended(style.fill_alpha, self._fill, part, style.fill)
        if style.stroke is not None:
            self._blended(style.stroke_alpha, self._stroke, part, style.stroke)

    def _blended(
        self, alpha: float, draw: Callable[[Part, Colour], None], part: Part, colour: Colour
    ) -> None:
        """Draw something with this opacity."""
        if alpha >= 1:
            draw(part, colour)
            return
        below, origin = self._large, self._origin
        box = bounds([self._at(*point) for point in part.points()])
        room = part.style.width * self._scale * SHARP + 2
        left, top = math.floor(box.left - room), math.floor(box.top - room)
        size = (math.ceil(box.right + room) - left, math.ceil(box.bottom + room) - top)
        grow = self._scale * SHARP
        self._origin = origin[0] + left / grow, origin[1] + top / grow
        self._large = pygame.Surface(size, pygame.SRCALPHA)
        draw(part, colour)
        self._large.set_alpha(round(alpha * 255))
        below.blit(self._large, (left, top))
        self._large, self._origin = below, origin

    def _fill(self, part: Part, colour: Colour) -> None:
        for points, _ in part.outlines:
            if len(points) > 2:
                self.polygon(colour, points)

    def _stroke(self, part: Part, colour: Colour) -> None:
        for points, closed in part.outlines:
            self.line(colour, part.style.width, (*points, points[0]) if closed else points)

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

    def label(self, text: Text) -> None:
        """A text of a drawing."""
        self._texts.append(text)

    def render(self) -> pygame.Surface:
        """The finished surface, scaled down, with its texts."""
        shown = pygame.transform.smoothscale(self._large, self._size)
        for text in self._texts:
            self._write(shown, text)
        return shown

    def _write(self, shown: pygame.Surface, text: Text) -> None:
        pixels = max(1, round(text.size * self._scale / FONT))
        image = lettering(text.words, pixels, text.colour, SIGNS)
        at = ((text.x - self._origin[0]) * self._scale, (text.y - self._origin[1]) * self._scale)
        rect = image.get_rect(**{ANCHORS.get(text.anchor, "midleft"): (round(at[0]), round(at[1]))})
        if round(text.degrees):
            image = pygame.transform.rotozoom(image, -text.degrees, 1)
            middle = rotated([(rect.centerx - at[0], rect.centery - at[1])], text.degrees, *at, 1)[0]
            rect = image.get_rect(center=(round(middle[0]), round(middle[1])))
        if text.alpha < 1:
            image = image.copy()
            image.set_alpha(round(text.alpha * 255))
        shown.blit(image, rect)

    def _at(self, x: float, y: float) -> Point:
        grow = self._scale * SHARP
        return (x - self._origin[0]) * grow, (y - self._origin[1]) * grow


def rotated(points: Sequence[Point], degrees: float, x: float, y: float, size: float) -> list[Point]:
    """A shape of size 1 around the origin: rotated clockwise, scaled to `size`, moved to (x, y)."""
    angle = math.radians(degrees)
    cos, sin = math.cos(angle) * size, math.sin(angle) * size
    return [(x + u * cos - v * sin, y + u * sin + v * cos) for u, v in points]
