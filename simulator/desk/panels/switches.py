"""The panel of switches: the matrix as it is wired, and the inputs beside it; a click closes a contact."""

import pygame

from simulator.desk.inside import Input
from simulator.desk.lettering import height, size_that_fits
from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen

SMALLEST = 8  # px of a name in its box


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel: a row of boxes for each row of the matrix, the direct inputs below."""
    size = pen.size
    pen.heading(area.x, area.y, area.width, "Switches: a click closes one, a right click keeps it closed")
    inputs = scene.machine.inside.inputs
    rows = sorted({one.row for one in inputs}, key=lambda row: (row == 0, row))
    wide = max((one.column for one in inputs if one.row), default=1)
    lines = [line for row in rows for line in _lines([one for one in inputs if one.row == row], wide, row)]
    top = area.y + size.line + 8
    label = size.small * 3
    step = min(size.line + 12, (area.bottom - top) // max(1, len(lines)))
    cell = (area.width - label) // wide
    fits = [size_that_fits(one.switch, cell - 11, size.small, SMALLEST) for one in inputs]
    for at, (row, line) in enumerate(lines):
        y = top + at * step
        words = f"row {row}" if row else "direct"
        pen.fitted(area.x, y + 2, label - 4, words, pen.palette.faint, size.small)
        for place, one in line:
            rect = pygame.Rect(area.x + label + place * cell, y, cell - 3, step - 3)
            _draw(pen, rect, scene, one, min(fits))


def _lines(inputs: list[Input], wide: int, row: int) -> list[tuple[int, list[tuple[int, Input]]]]:
    """A row as one line, each switch in its column; direct inputs as many lines as they need."""
    if row:
        return [(row, [(one.column - 1, one) for one in inputs])]
    return [
        (0, [(place, one) for place, one in enumerate(inputs[at : at + wide])])
        for at in range(0, len(inputs), wide)
    ]


def _draw(pen: Pen, rect: pygame.Rect, scene: Scene, one: Input, size: int) -> None:
    closed = scene.machine.view.switches[one.switch]
    palette = pen.palette
    pen.box(rect, palette.strong if closed else None)
    ink = palette.on_strong if closed else palette.ink
    y = rect.y + max(0, (rect.height - height(size)) // 2)
    pen.fitted(rect.x + 4, y, rect.width - 6, one.switch, ink, size)
    scene.hits.add(rect, "switch", one.switch)
