"""The panel of coils: what each is doing, how often it fired, how warm its winding is."""

import pygame

from simulator.desk.inside import CoilHeat
from simulator.desk.lettering import FIGURES, WORDS, width, wrapped
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import columns, note, pages
from simulator.desk.pen import Pen

LEAST = 26
WIDEST_KIND = "flipper"
ABOUT = (
    "Heat is of what the winding bears: at 100 % its pulses are refused. After a start every coil counts as "
    "half hot. A reflex fires a snap or flipper coil at once; a queued one waits for its turn."
)
WARM, HOT = 0.6, 0.85


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel; a click on a coil shows what fired it last."""
    size = pen.size
    step = size.small_line + 2
    about = len(wrapped(ABOUT, area.width, size.small)) * size.small_line
    pen.heading(area.x, area.y, area.width, "Coils: a click shows what fired one last")
    top = area.y + size.line + 5 + step
    places = columns(area, LEAST * size.usual, size.gap * 3)
    high = max(1, (area.bottom - about - top) // step)
    shown, words = pages(scene.machine.inside.heat(), high * len(places), scene.page)
    note(pen, area, words)
    for place in places[: -(-len(shown) // high)]:
        _headings(pen, pygame.Rect(place.x, top - step, place.width, step))
    below = top + min(high, len(shown)) * step + 2
    pen.paragraph(area.x, below, area.width, ABOUT, pen.palette.faint, size.small)
    for at, coil in enumerate(shown):
        place = places[at // high]
        row = pygame.Rect(place.x, top + at % high * step, place.width, step)
        _draw(pen, row, scene, coil)
        scene.hits.add(row, "coil", coil.name)


def _draw(pen: Pen, row: pygame.Rect, scene: Scene, coil: CoilHeat) -> None:
    palette, small = pen.palette, pen.size.small
    on = scene.recent.fired_lately(coil.name, scene.machine.now)
    ink = palette.strong if on else palette.ink
    bar = _bar(row)
    colour = palette.bad if coil.heat > HOT else palette.strong if coil.heat > WARM else palette.good
    pen.bar(bar, coil.heat, colour)
    kind, times, heat = _ends(row, bar)
    pen.right(heat, row.y, f"{round(coil.heat * 100)} %", palette.faint, small)
    pen.right(times, row.y, f"{scene.recent.times.get(coil.name, 0)}×", ink, small)
    state = "on" if scene.recent.is_on(coil.name, scene.machine.now) else coil.kind
    pen.right(kind, row.y, state, ink if on else palette.faint, small)
    wide = kind - width(WIDEST_KIND, small, FIGURES) - row.x - 8
    pen.fitted(row.x, row.y, wide, coil.name, ink, small)


def _headings(pen: Pen, row: pygame.Rect) -> None:
    """What each column has."""
    faint, small = pen.palette.faint, pen.size.small
    ends = _ends(row, _bar(row))
    pen.words(row.x, row.y, "coil", faint, small)
    for end, words in zip(ends, ("kind", "fired", "heat"), strict=True):
        pen.right(end, row.y, words, faint, small, WORDS)


def _bar(row: pygame.Rect) -> pygame.Rect:
    return pygame.Rect(row.right - row.width // 5, row.y + row.height // 3, row.width // 5, row.height // 3)


def _ends(row: pygame.Rect, bar: pygame.Rect) -> tuple[int, int, int]:
    """Where kind, times and heat end."""
    letter = row.height // 2
    heat = bar.x - letter
    times = heat - 6 * letter
    return times - 5 * letter, times, heat
