"""The panel of charts: the state of every feature, the game's first, and the chart of one."""

import pygame

from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import note
from simulator.desk.pen import Pen
from simulator.drawing.colours import blend
from simulator.drawing.style import Colour

FRESH_MS = 2000
SHARE = 0.3  # of the panel, for the states


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel; a click on a state shows its chart."""
    left = pygame.Rect(area.x, area.y, round(area.width * SHARE), area.height)
    _states(pen, left, scene)
    x = left.right + pen.size.gap * 2
    scene.charts.draw(pen, pygame.Rect(x, area.y, area.right - x, area.height), scene.machine)


def _states(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """As many states as there is room for, around that of the chosen chart."""
    view, small = scene.machine.view, pen.size.small
    # A region whose state has its own name has a single state, which is not shown.
    shown = [region for region in _order(scene) if region != view.states[region]]
    chosen = scene.charts.chosen.name if scene.charts.names() else ""
    y = pen.heading(area.x, area.y, area.width, "States")
    most = (area.bottom - y) // pen.size.small_line
    at = shown.index(chosen) if chosen in shown else 0
    first = max(0, min(at - most // 2, len(shown) - most))
    if len(shown) > most:
        note(pen, area, f"{first + 1} to {min(first + most, len(shown))} of {len(shown)}")
    for region in shown[first : first + most]:
        rect = pygame.Rect(area.x, y, area.width, pen.size.small_line)
        if region == chosen:
            pen.box(rect.inflate(6, 0), None, pen.palette.strong)
        pen.pair(rect.x, y, rect.width, region, view.states[region], _colour(pen, scene, region), small)
        scene.hits.add(rect, "chart", region)
        y += pen.size.small_line


def _order(scene: Scene) -> list[str]:
    """Every region, those of the game first."""
    own = scene.machine.inside.own
    return sorted(scene.machine.view.states, key=lambda region: region not in own)


def _colour(pen: Pen, scene: Scene, region: str) -> Colour:
    """A state that has just changed is coloured."""
    since = scene.machine.view.states_since[region]
    age = scene.machine.now - since
    if since <= 0 or age >= FRESH_MS:
        return pen.palette.ink
    return blend(pen.palette.strong, pen.palette.ink, max(0.0, age / FRESH_MS))
