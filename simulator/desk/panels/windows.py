"""The panel of windows: what is lit for a time, how long it stays, and where the balls are."""

import pygame

from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen
from simulator.drawing.style import Colour

FULL_MS = 30_000  # a window's bar is full at this
HURRY_MS = 5_000


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    y = draw_windows(pen, area, scene) + pen.size.gap
    y = pen.heading(area.x, y, area.width, "Balls")
    for place, count in scene.machine.places().items():
        colour = pen.palette.strong if count else pen.palette.faint
        pen.pair(area.x, y, area.width // 2, place, str(count), colour)
        y += pen.size.line
    pen.paragraph(
        area.x,
        y + pen.size.gap,
        area.width,
        "A window's time runs while a ball is free, and stops while every ball is held or on a ramp.",
        pen.palette.faint,
        pen.size.small,
    )


def draw_windows(pen: Pen, area: pygame.Rect, scene: Scene) -> int:
    """Every open window with its time as a bar; returns the y below."""
    windows = scene.machine.windows()
    y = pen.heading(area.x, area.y, area.width, "Windows: lit for a time")
    step = pen.size.line + 8
    for name, left_ms, frozen in windows[: max(1, (area.bottom - y) // step)]:
        colour = _colour(pen, left_ms, frozen)
        pen.pair(area.x, y, area.width, name, f"{left_ms / 1000:.1f} s", colour)
        pen.bar(pygame.Rect(area.x, y + pen.size.line, area.width, 4), left_ms / FULL_MS, colour)
        y += step
    if any(frozen for _, _, frozen in windows):
        pen.words(area.x, y, "stopped: no ball is free", pen.palette.faint, pen.size.small)
        y += pen.size.small_line
    elif not windows:
        pen.words(area.x, y, "none open", pen.palette.faint)
        y += pen.size.line
    return y


def _colour(pen: Pen, left_ms: int, frozen: bool) -> Colour:
    if frozen:
        return pen.palette.faint
    return pen.palette.bad if left_ms <= HURRY_MS else pen.palette.good
