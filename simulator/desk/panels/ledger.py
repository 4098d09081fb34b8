"""The panel of awards: every payment with its base and factor, newest first; a click shows what paid it."""

import pygame

from simulator.desk.lettering import FIGURES, width
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import note
from simulator.desk.pen import Pen
from simulator.desk.recent import Award


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    paid, line = scene.recent.ledger, pen.size.small_line
    y = pen.heading(area.x, area.y, area.width, "Awards, newest first: a click shows the chart row that paid")
    most = max(1, (area.bottom - y) // line)
    pages = max(1, -(-len(paid) // most))
    last = len(paid) - scene.page % pages * most
    note(pen, area, f"{len(paid):,} awards" + ("; [ and ] turn" if pages > 1 else ""))
    for award in paid[max(0, last - most) : last][::-1]:
        row = pygame.Rect(area.x, y, area.width, line)
        _draw(pen, row, award)
        scene.hits.add(row, "event", str(award.at))
        y += line
    if not paid:
        pen.words(area.x, y, "none yet", pen.palette.faint)


def _draw(pen: Pen, row: pygame.Rect, award: Award) -> None:
    small, faint = pen.size.small, pen.palette.faint
    time = width("0000.000", small, FIGURES)
    pen.right(row.x + time, row.y, f"{award.ms / 1000:.3f}", faint, small)
    x = pen.words(row.x + time + pen.size.gap, row.y, f"player {award.player}", faint, small) + pen.size.gap
    end = pen.right(row.right, row.y, award_words(award), pen.palette.ink, small)
    pen.fitted(x, row.y, end - x - 8, award.name, None, small)


def award_words(award: Award) -> str:
    """Points, with base and factor when there was a factor."""
    if award.factor == 1:
        return f"{award.points:,}"
    return f"{award.base:,} × {award.factor} = {award.points:,}"
