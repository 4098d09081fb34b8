"""The panel of help: every key, and what is where."""

import pygame

from simulator.desk.keymap import Key
from simulator.desk.lettering import width
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import columns
from simulator.desk.pen import Pen

LEAST = 17
ABOUT = (
    "Inserts shine through the playfield: what is lit pays or counts when its shot is made; what blinks fast "
    "ends soon. A switch turns green while a ball or a click closes it. Windows are things lit for a time, "
    "values are what rules remember, the trace is all that happened: a click on one of its lines shows why."
)


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    size = pen.size
    y = pen.paragraph(area.x, area.y, area.width, ABOUT, pen.palette.faint, size.small) + size.gap
    places = columns(pygame.Rect(area.x, y, area.width, area.bottom - y), LEAST * size.usual, size.gap * 2)
    lines: list[str | Key] = []
    for heading, keys in scene.keymap.groups:
        lines += [heading, *keys]
    step = min(size.small_line + 3, (area.bottom - y) * len(places) // max(1, len(lines) + len(places)))
    high = max(1, (area.bottom - y) // step)
    at = 0
    for line in lines:
        if isinstance(line, str) and at % high == high - 1:
            at += 1  # no heading at the foot of a column
        place = places[min(at // high, len(places) - 1)]
        _draw(pen, place, place.y + at % high * step, line)
        at += 1


def _draw(pen: Pen, place: pygame.Rect, y: int, line: "str | Key") -> None:
    small, palette = pen.size.small, pen.palette
    if isinstance(line, str):
        pen.fitted(place.x, y, place.width, line.capitalize(), palette.strong, small)
        return
    cap = pygame.Rect(place.x, y, width(line.cap, small) + 8, pen.size.small_line)
    pen.box(cap)
    pen.words(place.x + 4, y, line.cap, None, small)
    left = max(cap.right, place.x + small * 3) + 6
    pen.fitted(left, y, place.right - left, line.label, palette.faint, small)
