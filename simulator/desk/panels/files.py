"""The panel of the game's files: what was taken up while the game runs, or the line that stopped it."""

import pygame

from simulator.desk.files import FilesReport, Line
from simulator.desk.lettering import FIGURES
from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen

KEPT = "The last good version of the game stays until a file is saved that check accepts."


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    report, palette = scene.files, pen.palette
    y = pen.heading(area.x, area.y, area.width, f"Files: {report.title}") + 2
    if report.where:
        pen.words(area.x, y, report.where, palette.bad, pen.size.large, FIGURES)
        y += pen.size.line + pen.size.gap
    y = pen.paragraph(area.x, y, area.width, report.words, palette.bad if report.is_bad else None)
    if report.source is not None and report.source.text:
        y = _lines(pen, area, y + pen.size.gap, (report.source,))
    if report.rows:
        y = pen.heading(area.x, y + pen.size.gap, area.width, "Rows of the chart that name it")
        y = _lines(pen, area, y, report.rows)
    if report.remarks:
        y = _remarks(pen, area, y + pen.size.gap, report)
    if report.is_bad:
        pen.paragraph(area.x, y + pen.size.gap, area.width, KEPT, palette.faint, pen.size.small)


def _lines(pen: Pen, area: pygame.Rect, y: int, lines: tuple[Line, ...]) -> int:
    """Lines of a file with their numbers; returns the y below."""
    for line in lines:
        x = pen.figures(area.x, y, f"{line.number:4d}  ", pen.palette.faint, pen.size.small)
        y = pen.paragraph(x, y, area.right - x, line.text, None, pen.size.small)
    return y


def _remarks(pen: Pen, area: pygame.Rect, y: int, report: FilesReport) -> int:
    y = pen.heading(area.x, y, area.width, "More of it" if report.is_bad else "Not kept")
    for remark in report.remarks:
        if y > area.bottom - 2 * pen.size.line:
            pen.words(area.x, y, "…", pen.palette.faint)
            break
        y = pen.paragraph(area.x, y, area.width, remark, pen.palette.faint, pen.size.small)
    return y
