"""The panel of coils: what each is doing, how often it fired, how warm its winding is."""

import pygame

from simulator.desk.inside import CoilHeat
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import columns, note, pages
from simulator.desk.pen import Pen

LEAST = 26
WARM, HOT = 0.6, 0.85


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel; a click on a coil shows what fired it last."""
    size = pen.size
    pen.heading(area.x, area.y, area.width, "Coils: times fired, heat of the winding")
    top = area.y + size.line + 5
    step = size.small_line + 2
    places = columns(area, LEAST * size.usual, size.gap * 3)
    high = max(1, (area.bottom - top) // step)
    shown, words = pages(scene.machine.inside.heat(), high * len(places), scene.page)
    note(pen, area, words)
    for at, coil in enumerate(shown):
        place = places[at // high]
        row = pygame.Rect(place.x, top + at % high * step, place.width, step)
        _draw(pen, row, scene, coil)
        scene.hits.add(row, "coil", coil.name)


def _draw(pen: Pen, row: pygame.Rect, scene: Scene, coil: CoilHeat) -> None:
    palette, small = pen.palette, pen.size.small
    on = scene.recent.fired_lately(coil.name, scene.machine.now)
    ink = palette.strong if on else palette.ink
    bar = pygame.Rect(row.right - row.width // 4, row.y + row.height // 3, row.width // 4, row.height // 3)
    colour = palette.bad if coil.heat > HOT else palette.strong if coil.heat > WARM else palette.good
    pen.bar(bar, coil.heat, colour)
    end = pen.right(bar.x - 8, row.y, f"{round(coil.heat * 100)} %", palette.faint, small)
    end = pen.right(end - 12, row.y, f"{scene.recent.times.get(coil.name, 0)}×", ink, small)
    state = "on" if scene.recent.is_on(coil.name, scene.machine.now) else coil.kind
    end = pen.right(end - 12, row.y, state, ink if on else palette.faint, small)
    pen.fitted(row.x, row.y, end - row.x - 8, coil.name, ink, small)
