"""Where everything is in a window of any size: the playfield first, as high as the window."""

from dataclasses import dataclass

import pygame

from simulator.desk.displays import LINE_CELLS, LINES, RIM
from simulator.desk.glyphs import CELL_HIGH, CELL_WIDE
from simulator.desk.lettering import height, wrapped
from simulator.desk.pen import Sizes, sizes

LEAST = (1024, 600)  # nothing is cut off from this size on
USUAL = (1280, 800)
FIELD_SHARE = 0.42  # of the window's width, at most
GLASS_SHARE = 0.23  # of its height, at most
CAUTION = (
    "Caution: lamps and flashers blink here, up to 2.5 times a second (4 with calm lamps off). "
    "Stop if flashing light troubles you."
)


@dataclass(frozen=True)
class Layout:
    """Rectangles of one window. `scale`: pixels a mm of the playfield; `cell`: pixels of a display's cell."""

    size: tuple[int, int]
    sizes: Sizes
    scale: float
    field: pygame.Rect
    cell: int
    glass: pygame.Rect
    tabs: pygame.Rect
    panel: pygame.Rect
    message: pygame.Rect
    time: pygame.Rect
    caution: pygame.Rect


def lay_out(size: tuple[int, int], drawing: tuple[float, float]) -> Layout:
    """The layout for a window of `size` pixels and a drawing of so many mm; LEAST at least."""
    wide, high = max(size[0], LEAST[0]), max(size[1], LEAST[1])
    unit = min(wide / USUAL[0], high / USUAL[1])
    font = sizes(unit)
    margin = max(6, round(8 * unit))
    scale = min((high - 2 * margin) / drawing[1], wide * FIELD_SHARE / drawing[0])
    field = pygame.Rect(margin, margin, round(drawing[0] * scale), round(drawing[1] * scale))
    x = field.right + margin
    column = wide - x - margin
    cell = _cell(column, round(high * GLASS_SHARE))
    glass = pygame.Rect(x, margin, column, round(cell * CELL_HIGH / CELL_WIDE) * LINES + 3 * RIM)
    tabs = pygame.Rect(x, glass.bottom + margin, column, font.line + 8)
    lines = len(wrapped(CAUTION, column, font.small))
    caution = pygame.Rect(x, 0, column, lines * (height(font.small) + 1))
    caution.bottom = high - margin
    time = pygame.Rect(x, caution.top - margin - font.line, column, font.line)
    message = pygame.Rect(x, time.top - 4 - height(font.large), column, height(font.large))
    top = tabs.bottom + margin
    panel = pygame.Rect(x, top, column, message.top - margin - top)
    return Layout((wide, high), font, scale, field, cell, glass, tabs, panel, message, time, caution)


def _cell(wide: int, high: int) -> int:
    """The width of the largest cells that fit a glass of this size."""
    across = (wide - 2 * RIM) // LINE_CELLS
    down = int((high - 3 * RIM) / LINES * CELL_WIDE / CELL_HIGH)
    return min(across, down)
