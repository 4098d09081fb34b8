"""A machine's displays on the glass: lines of text one below the other, numbers two side by side."""

from collections.abc import Sequence

import pygame

from simulator.desk.glyphs import CELL_HIGH, CELL_WIDE, Digits, Display

CELL = 52  # px
LINE_CELLS = 16  # the glass is as wide as so many of the largest cells
LINES = 2
RIM = 2
SMALL = 4  # displays of fewer cells stand between the two of a line
LONG = 8  # longer ones have a line of their own
SEVEN = 7

Size = tuple[int, int]
"""Cells of a display, and the segments of each."""

TWO_LINES: tuple[Size, ...] = ((16, 14), (16, 14))


class Displays:
    """Draws every display; `at` lists their upper left corners, from the glass's.

    `largest`: how wide (px) the largest cells are, of which the glass has LINES lines.
    """

    def __init__(self, sizes: Sequence[Size] = TWO_LINES, largest: int = CELL) -> None:
        wide = max(cells for cells, _ in sizes)
        high = round(largest * CELL_HIGH / CELL_WIDE)
        self.size = (LINE_CELLS * largest + 2 * RIM, LINES * high + 3 * RIM)
        self._largest = largest
        if wide > LONG:
            self.cell = min(largest, largest * LINES // len(sizes))
            places = [(0, line) for line in range(len(sizes))]
        else:
            places = _pairs([cells for cells, _ in sizes])
            lines = 1 + max(line for _, line in places)
            small = max((cells for cells, _ in sizes if cells < SMALL), default=0)
            self.cell = min(largest * LINE_CELLS // (2 * wide + small + 1), largest * LINES // lines)
        self._kinds = [
            Digits(self.cell) if segments == SEVEN else Display(self.cell) for _, segments in sizes
        ]
        step = (self.size[1] - 3 * RIM) // (1 + max(line for _, line in places))
        self.at = [
            (RIM + self._indent(place, cells), RIM + 1 + line * step)
            for (place, line), (cells, _) in zip(places, sizes, strict=True)
        ]

    def draw(self, surface: pygame.Surface, glass: pygame.Rect, shown: Sequence[Sequence[int]]) -> None:
        """The cells of each display, on `glass`."""
        for kind, (x, y), cells in zip(self._kinds, self.at, shown, strict=True):
            kind.draw(surface, glass.x + x, glass.y + y, cells)

    def point(self, display: int, column: int, segment: int) -> tuple[int, int]:
        """The pixel in the middle of a segment of a cell, from the glass's upper left corner."""
        x, y = self._kinds[display].segment_point(column, segment)
        return self.at[display][0] + x, self.at[display][1] + y

    def _indent(self, place: int, cells: int) -> int:
        """Left, middle or right of the glass."""
        return place * (LINE_CELLS * self._largest - cells * self.cell) // 2


def _pairs(sizes: Sequence[int]) -> list[tuple[int, int]]:
    """For each display its place (0 left, 1 middle, 2 right) and its line; small ones stand in the middle."""
    places = []
    wide = small = 0
    for cells in sizes:
        if cells < SMALL:
            places.append((1, small))
            small += 1
        else:
            places.append((wide % 2 * 2, wide // 2))
            wide += 1
    return places
