"""The panel of the trace: what happened when, newest first; a click on a line shows what made it."""

import pygame

from simulator.desk.lettering import FIGURES, width
from simulator.desk.machine import TraceEvent
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import note
from simulator.desk.pen import Pen

WORDS = {"edge": "contact", "move": "chart", "save": "saved", "refused": "refused"}


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    history, line = scene.machine.view.history, pen.size.small_line
    y = pen.heading(area.x, area.y, area.width, "Trace, newest first: a click shows the chart row")
    most = max(1, (area.bottom - y) // line)
    pages = max(1, -(-len(history) // most))
    last = len(history) - scene.page % pages * most
    note(pen, area, f"{len(history):,} entries; [ and ] turn")
    for at in range(last - 1, max(-1, last - 1 - most), -1):
        row = pygame.Rect(area.x, y, area.width, line)
        _draw(pen, row, history[at])
        scene.hits.add(row, "event", str(at))
        y += line


def _draw(pen: Pen, row: pygame.Rect, event: TraceEvent) -> None:
    palette, small = pen.palette, pen.size.small
    time, kind = width("0000.000 s", small, FIGURES), width("contact  ", small, FIGURES)
    pen.right(row.x + time, row.y, f"{event.ms / 1000:.3f} s", palette.faint, small)
    colour = palette.strong if event.kind == "award" else palette.ink
    x = row.x + time + pen.size.gap
    pen.figures(x, row.y, WORDS.get(event.kind, event.kind), palette.faint, small)
    x = pen.fitted(x + kind, row.y, row.width // 2, event.name, colour, small)
    if event.kind not in ("move", "cue"):
        pen.figures(x + pen.size.gap, row.y, f"{event.value:,}", palette.faint, small)
