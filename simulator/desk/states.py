"""The second column: where each region rests; what has just changed stands out for a moment."""

import pygame

from simulator.desk.canvas import mixed
from simulator.desk.machine import Machine
from simulator.desk.pen import INK, LINE, SMALL, STRONG, Pen

FRESH_MS = 2000


def draw_states(pen: Pen, area: pygame.Rect, machine: Machine) -> int:
    """Every region's state; the y below. The lines move together when there are many."""
    view = machine.view
    y = pen.heading(area.x, area.y, area.width, "States")
    # A region whose state bears its own name has a single state: nothing to tell.
    shown = [(region, state) for region, state in view.states.items() if region != state]
    line = max(12, min(LINE, (area.bottom - y) // max(1, len(shown))))
    for region, state in shown:
        age = machine.now - view.states_since[region]
        fresh = view.states_since[region] > 0 and age < FRESH_MS
        colour = mixed(STRONG, INK, age / FRESH_MS) if fresh else INK
        pen.pair(area.x, y, area.width, region, state, colour, SMALL)
        y += line
    return y
