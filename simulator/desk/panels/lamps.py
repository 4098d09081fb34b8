"""The panel of lamps: each with its colour, lit as it is now, and its pattern."""

import pygame

from firmware.devices.lamps import lit
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import balanced, columns, note, pages
from simulator.desk.pen import Pen

LEAST = 15
PATTERNS = ("", "on", "slow", "fast", "rapid")


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel; a click on a lamp shows what changed it last."""
    size, view = pen.size, scene.machine.view
    pen.heading(
        area.x, area.y, area.width, "Lamps: point at one for its rule, click for what changed it last"
    )
    top = area.y + size.line + 5
    places = columns(area, LEAST * size.usual, size.gap * 2)
    high = (area.bottom - top) // size.small_line
    shown, words = pages(list(view.lamps), high * len(places), scene.page)
    note(pen, area, words)
    high = balanced(len(shown), len(places), high)
    for at, name in enumerate(shown):
        place = places[at // high]
        row = pygame.Rect(place.x, top + at % high * size.small_line, place.width, size.small_line)
        _draw(pen, row, scene, name)
        scene.hits.add(row, "lamp", name)


def _draw(pen: Pen, row: pygame.Rect, scene: Scene, name: str) -> None:
    palette, size = pen.palette, pen.size
    pattern = scene.machine.view.lamps[name]
    x = draw_dot(pen, row, scene, name)
    words = pattern_words(pattern)
    ink = palette.ink if pattern else palette.faint
    end = pen.right(row.right, row.y, words, palette.strong, size.small)
    pen.fitted(x, row.y, end - x - 4, name, ink, size.small)


def pattern_words(pattern: int) -> str:
    """A lamp's pattern in a word; "" for dark."""
    return PATTERNS[pattern] if pattern < len(PATTERNS) else str(pattern)


def draw_dot(pen: Pen, row: pygame.Rect, scene: Scene, name: str) -> int:
    """The lamp as a dot at the left of a row, lit as it is now; returns the x after it."""
    palette, machine = pen.palette, scene.machine
    radius = pen.size.small // 2 - 1
    colour = palette.lamps.get(scene.colours.get(name, "white"), palette.lamps["white"])
    is_lit = lit(machine.view.lamps[name], machine.now)
    pen.dot((row.x + radius + 1, row.centery), radius, colour if is_lit else palette.box)
    return row.x + pen.size.small + 6
