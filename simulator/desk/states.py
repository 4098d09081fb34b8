"""Draws the desk's second column: the state of each chart; a state that has just changed is coloured."""

import pygame

from simulator.desk.machine import DeskMachine, View
from simulator.desk.pen import BOX, HEADING, INK, LINE, SMALL, STRONG, Pen
from simulator.drawing.colours import blend

FRESH_MS = 2000


def draw_states(pen: Pen, area: pygame.Rect, machine: DeskMachine, chosen: str = "") -> None:
    """Draw every region's state; the chosen region's line is boxed."""
    view = machine.view
    pen.heading(area.x, area.y, area.width, "States")
    for region, rect in state_rects(area, view).items():
        age = machine.now - view.states_since[region]
        fresh = view.states_since[region] > 0 and age < FRESH_MS
        colour = blend(STRONG, INK, age / FRESH_MS) if fresh else INK
        if region == chosen:
            pen.box(rect.inflate(8, 0).move(0, -2), BOX, STRONG)
        pen.pair(rect.x, rect.y, rect.width, region, view.states[region], colour, SMALL)


def state_rects(area: pygame.Rect, view: View) -> dict[str, pygame.Rect]:
    """The rectangle of each region's line; lines are set closer when there are many."""
    # A region whose state has its own name has a single state, which is not shown.
    shown = [region for region, state in view.states.items() if region != state]
    top = area.y + HEADING
    high = max(12, min(LINE, (area.bottom - top) // max(1, len(shown))))
    return {region: pygame.Rect(area.x, top + at * high, area.width, high) for at, region in enumerate(shown)}
