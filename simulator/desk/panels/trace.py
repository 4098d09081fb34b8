"""The panel of the trace: what happened when, newest first; a click on a line shows what made it."""

from collections.abc import Sequence

import pygame

from simulator.desk.inside import Input
from simulator.desk.lettering import FIGURES, width
from simulator.desk.machine import TraceEvent
from simulator.desk.panels.lamps import pattern_words
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import columns, note
from simulator.desk.pen import Pen

KINDS = {"edge": "contact", "move": "chart", "save": "saved"}
PLAYFIELD = "playfield"  # the event of every playfield switch, whose value is its number
LEAST = 30  # letters that a column is wide
SHOWN = 200  # entries on a page, at most


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    history, line = scene.machine.view.history, pen.size.small_line
    y = pen.heading(area.x, area.y, area.width, "Trace, newest first: a click shows the chart row")
    places = columns(area, LEAST * pen.size.small, pen.size.gap * 2)
    high = max(1, (area.bottom - y) // line)
    most = min(SHOWN, high * len(places))
    pages = max(1, -(-len(history) // most))
    last = len(history) - scene.page % pages * most
    note(pen, area, f"{len(history):,} entries; [ and ] turn")
    for number, at in enumerate(range(last - 1, max(-1, last - 1 - most), -1)):
        place = places[number // high]
        row = pygame.Rect(place.x, y + number % high * line, place.width, line)
        _draw(pen, row, history[at], scene.machine.inside.inputs)
        scene.hits.add(row, "event", str(at))


def _draw(pen: Pen, row: pygame.Rect, event: TraceEvent, inputs: Sequence[Input]) -> None:
    palette, small = pen.palette, pen.size.small
    time, kind = width("0000.000", small, FIGURES), width("contact  ", small, FIGURES)
    pen.right(row.x + time, row.y, f"{event.ms / 1000:.3f}", palette.faint, small)
    colour = palette.strong if event.kind == "award" else palette.ink
    x = row.x + time + pen.size.gap
    pen.figures(x, row.y, KINDS.get(event.kind, event.kind), palette.faint, small)
    x = pen.fitted(x + kind, row.y, row.width - time - kind, event.name, colour, small)
    words = inputs[event.value].switch if event.name == PLAYFIELD else value_words(event)
    if words and x + pen.size.gap + width(words, small, FIGURES) <= row.right:
        pen.figures(x + pen.size.gap, row.y, words, palette.faint, small)


def value_words(event: TraceEvent) -> str:
    """What an entry's value says, in words where it is no number of its own."""
    if event.kind == "edge":
        return "closed" if event.value else "opened"
    if event.kind == "lamp":
        return pattern_words(event.value) or "off"
    if event.kind == "coil":
        return "off" if not event.value else "held" if event.value < 0 else f"{event.value} ms"
    if event.kind in ("move", "cue") or (event.kind == "event" and not event.value):
        return ""
    return f"{event.value:,}"
