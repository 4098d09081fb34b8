"""Text, headings and boxes on one surface, in a palette's colours and in sizes that grow with the window."""

from functools import lru_cache
from typing import NamedTuple

import pygame

from simulator.desk.lettering import FIGURES, WORDS, fitted, height, lettering, width, wrapped
from simulator.desk.palette import DARK, Palette
from simulator.drawing.style import Colour

DOT_LARGER = 4


class Sizes(NamedTuple):
    """Font sizes in pixels, and the step from line to line of each."""

    small: int
    usual: int
    large: int
    huge: int

    @property
    def line(self) -> int:
        """From one usual line to the next."""
        return height(self.usual) + 1

    @property
    def small_line(self) -> int:
        """From one small line to the next."""
        return height(self.small) + 1

    @property
    def gap(self) -> int:
        """Room between two things."""
        return max(6, self.usual // 2)


def sizes(unit: float) -> Sizes:
    """Font sizes for a window `unit` times as large as 1280 × 800; none is smaller than can be read."""
    return Sizes(
        max(11, round(12 * unit)),
        max(12, round(13.5 * unit)),
        max(14, round(17 * unit)),
        max(20, round(28 * unit)),
    )


class Pen:
    """Writes on one surface."""

    def __init__(self, surface: pygame.Surface, palette: Palette = DARK, size: Sizes | None = None) -> None:
        self.surface = surface
        self.palette = palette
        self.size = size or sizes(1)

    def words(
        self, x: int, y: int, text: str, colour: Colour | None = None, size: int = 0, face: int = WORDS
    ) -> int:
        """Write text from (x, y); returns the x after it."""
        image = lettering(text, size or self.size.usual, colour or self.palette.ink, face)
        self.surface.blit(image, (x, y))
        return x + image.get_width()

    def figures(self, x: int, y: int, text: str, colour: Colour | None = None, size: int = 0) -> int:
        """Write figures, or what the machine calls something, from (x, y); returns the x after it."""
        return self.words(x, y, text, colour, size, FIGURES)

    def right(
        self, x: int, y: int, text: str, colour: Colour | None = None, size: int = 0, face: int = FIGURES
    ) -> int:
        """Write text that ends at x; returns the x where it begins."""
        start = x - width(text, size or self.size.usual, face)
        self.words(start, y, text, colour, size, face)
        return start

    def fitted(
        self, x: int, y: int, wide: int, text: str, colour: Colour | None = None, size: int = 0
    ) -> int:
        """Write words, cut to `wide` pixels; returns the x after them."""
        return self.words(x, y, fitted(text, wide, size or self.size.usual), colour, size)

    def pair(
        self, x: int, y: int, wide: int, left: str, right: str, colour: Colour | None = None, size: int = 0
    ) -> None:
        """Write a faint name on the left, cut where there is no room, and its value on the right."""
        end = self.right(x + wide, y, right, colour, size)
        self.fitted(x, y, end - x - self.size.gap, left, self.palette.faint, size)

    def paragraph(
        self, x: int, y: int, wide: int, text: str, colour: Colour | None = None, size: int = 0
    ) -> int:
        """Write lines no wider than `wide`; returns the y below."""
        for line in wrapped(text, wide, size or self.size.usual):
            self.words(x, y, line, colour, size)
            y += height(size or self.size.usual) + 1
        return y

    def heading(self, x: int, y: int, wide: int, text: str) -> int:
        """Write a heading with a rule below; returns the y for what follows."""
        self.fitted(x, y, wide, text, self.palette.strong)
        below = y + self.size.line
        pygame.draw.line(self.surface, self.palette.edge, (x, below), (x + wide, below))
        return below + 4

    def box(self, rect: pygame.Rect, colour: Colour | None = None, edge: Colour | None = None) -> None:
        """A filled box with round corners and an edge."""
        pygame.draw.rect(self.surface, colour or self.palette.box, rect, border_radius=4)
        pygame.draw.rect(self.surface, edge or self.palette.edge, rect, 1, border_radius=4)

    def bar(self, rect: pygame.Rect, share: float, colour: Colour) -> None:
        """A bar that is filled from the left by `share`, 0 to 1."""
        pygame.draw.rect(self.surface, self.palette.box, rect)
        filled = rect.copy()
        filled.width = round(rect.width * min(1.0, max(0.0, share)))
        pygame.draw.rect(self.surface, colour, filled)

    def dot(self, middle: tuple[int, int], radius: int, colour: Colour) -> None:
        """A filled circle with an edge."""
        image = _dot(radius, colour, self.palette.edge)
        self.surface.blit(image, image.get_rect(center=middle))


@lru_cache(maxsize=256)
def _dot(radius: int, colour: Colour, edge: Colour) -> pygame.Surface:
    """A circle drawn larger and scaled down, which makes its edge smooth."""
    size = (2 * radius + 1) * DOT_LARGER
    large = pygame.Surface((size, size), pygame.SRCALPHA)
    pygame.draw.circle(large, edge, (size // 2, size // 2), size // 2)
    pygame.draw.circle(large, colour, (size // 2, size // 2), size // 2 - DOT_LARGER)
    return pygame.transform.smoothscale(large, (2 * radius + 1, 2 * radius + 1))
