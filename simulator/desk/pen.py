"""Text, headings and boxes in the desk's colours and sizes."""

import pygame

from simulator.desk.canvas import Colour
from simulator.desk.lettering import lettering, width

BACK: Colour = (20, 22, 20)
BOX: Colour = (32, 36, 32)
EDGE: Colour = (66, 72, 62)
INK: Colour = (222, 216, 198)
FAINT: Colour = (146, 148, 134)
STRONG: Colour = (255, 196, 84)
GOOD: Colour = (126, 230, 130)
BAD: Colour = (255, 120, 96)

SMALL, USUAL, LARGE = 17, 19, 22
LINE = 16
HEADING = LINE + 4  # from a heading to the text below


class Pen:
    """Writes text and boxes on one surface."""

    def __init__(self, surface: pygame.Surface) -> None:
        self.surface = surface

    def words(self, x: int, y: int, text: str, colour: Colour = INK, size: int = USUAL) -> int:
        """Write text from (x, y); returns the x after it."""
        image = lettering(text, size, colour)
        self.surface.blit(image, (x, y))
        return x + image.get_width()

    def right(self, x: int, y: int, text: str, colour: Colour = INK, size: int = USUAL) -> int:
        """Write text that ends at x; returns the x where it begins."""
        start = x - width(text, size)
        self.words(start, y, text, colour, size)
        return start

    def pair(
        self, x: int, y: int, wide: int, left: str, right: str, colour: Colour, size: int = USUAL
    ) -> None:
        """Write a faint name on the left, cut where there is no room, and its value on the right."""
        end = self.right(x + wide, y, right, colour, size)
        self.words(x, y, fitted(left, end - x - 6, size), FAINT, size)

    def heading(self, x: int, y: int, wide: int, text: str) -> int:
        """Write a heading with a rule below; returns the y for what follows."""
        self.words(x, y, text, STRONG, USUAL)
        pygame.draw.line(self.surface, EDGE, (x, y + LINE), (x + wide, y + LINE))
        return y + HEADING

    def box(self, rect: pygame.Rect, colour: Colour = BOX, edge: Colour = EDGE) -> None:
        """A filled box with round corners and an edge."""
        pygame.draw.rect(self.surface, colour, rect, border_radius=5)
        pygame.draw.rect(self.surface, edge, rect, 1, border_radius=5)


def fitted(text: str, wide: int, size: int) -> str:
    """The text, cut with an ellipsis where it would be wider than `wide` pixels."""
    if width(text, size) <= wide:
        return text
    while text and width(text + "…", size) > wide:
        text = text[:-1]
    return text + "…"
