"""What is beside the playfield: one panel at a time, chosen by its tab or by key."""

from collections.abc import Callable
from typing import NamedTuple

import pygame

from simulator.desk.panels import (
    charts,
    coils,
    files,
    game,
    keyboard,
    lamps,
    ledger,
    switches,
    trace,
    values,
    windows,
)
from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen


class Panel(NamedTuple):
    """A panel: the word on its tab, what it is for, and what draws it."""

    name: str
    about: str
    draw: Callable[[Pen, pygame.Rect, Scene], None]


PANELS = (
    Panel("game", "scores, windows, the last awards", game.draw),
    Panel("charts", "each rule as a chart, its states lit", charts.draw),
    Panel("windows", "what is lit for a time, and where the balls are", windows.draw),
    Panel("values", "what each rule remembers", values.draw),
    Panel("lamps", "every lamp with its pattern", lamps.draw),
    Panel("coils", "every coil with its heat", coils.draw),
    Panel("switches", "the switch matrix: a click closes a contact", switches.draw),
    Panel("trace", "what happened when; a click shows why", trace.draw),
    Panel("awards", "every payment; a click shows why", ledger.draw),
    Panel("files", "what was saved and taken up, or the line that stopped the game", files.draw),
    Panel("help", "the keys, and what is where", keyboard.draw),
)
NAMES = tuple(panel.name for panel in PANELS)


def panel(name: str) -> Panel:
    """The panel of this name."""
    return PANELS[NAMES.index(name)]
