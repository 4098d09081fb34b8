"""The panel of values: what each feature remembers, the game's before the cabinet's."""

import pygame

from simulator.desk.inside import Held
from simulator.desk.panels.scene import Scene, feature_of
from simulator.desk.panels.table import balanced, columns, note, pages
from simulator.desk.pen import Pen

LEAST = 18  # widths of a usual letter that a column has


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    inside = scene.machine.inside
    held = inside.values()
    rows = [one for one in held if feature_of(one.name) in inside.own]
    rows += [one for one in held if feature_of(one.name) not in inside.own]
    size = pen.size
    top = area.y + size.line + 5
    places = columns(area, LEAST * size.usual, size.gap * 3)
    high = (area.bottom - top) // size.small_line
    shown, words = pages(rows, high * len(places), scene.page)
    pen.heading(area.x, area.y, area.width, "Values: the game's, then the cabinet's")
    note(pen, area, words)
    high = balanced(len(shown), len(places), high)
    for at, one in enumerate(shown):
        place = places[at // high]
        _draw(pen, place, top + at % high * size.small_line, one, feature_of(one.name) in inside.own)


def _draw(pen: Pen, place: pygame.Rect, y: int, one: Held, own: bool) -> None:
    strong = pen.palette.strong if one.value else pen.palette.ink
    pen.pair(place.x, y, place.width, one.name, f"{one.value:,}", strong if own else None, pen.size.small)
