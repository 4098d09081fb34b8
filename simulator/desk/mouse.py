"""The mouse at the desk: clicks on switches, tabs and lines of panels, drags along the bar of time."""

import math
from typing import TYPE_CHECKING

import pygame

from simulator.desk.hits import Hit
from simulator.drawing.drawing import Drawing

if TYPE_CHECKING:
    from simulator.desk.desk import Desk

REACH = 22  # mm around a mark within which a click counts as a click on it
LEAST_REACH = 8  # mm around the middle of a small insert that count as the insert
PATTERNS = ("off", "on", "blinking slowly", "blinking fast", "blinking rapidly")
LEFT_BUTTON, RIGHT_BUTTON = 1, 3


class Mouse:
    """What the mouse does at one desk."""

    def __init__(self, desk: "Desk", drawing: Drawing) -> None:
        self._desk = desk
        self._drawing = drawing
        self._clicked: str | None = None
        self._drags = False  # along the bar of time
        self._wanted_ms: int | None = None  # where on it the mouse is
        self.pointed = ""  # what the insert under the mouse is for; "": there is none

    def take_wanted(self) -> int | None:
        """The time (ms) that was clicked or dragged to since the last call; None: none was."""
        wanted, self._wanted_ms = self._wanted_ms, None
        return wanted

    def answer(self, event: pygame.event.Event) -> None:
        """Handle an event of the mouse; others are left alone."""
        if event.type == pygame.MOUSEBUTTONDOWN:
            self._click(event.pos, event.button)
        elif event.type == pygame.MOUSEMOTION and event.buttons[0] and self._drags:
            self._wanted_ms = self._desk.timeline.time_at(event.pos[0])
        elif event.type == pygame.MOUSEMOTION:
            self.pointed = self._about(*event.pos)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == LEFT_BUTTON:
            self._let_go()
        elif event.type == pygame.MOUSEWHEEL:
            self._desk.page = max(0, self._desk.page - event.y)

    def _let_go(self) -> None:
        if self._clicked:
            self._desk.hands.release(self._clicked)
        self._clicked = None
        self._drags = False

    def switch_at(self, x: int, y: int) -> str | None:
        """The switch that a click on this pixel of the playfield means: the nearest within REACH mm."""
        if not self._desk.picture.layout.field.collidepoint(x, y):
            return None
        at = self._desk.picture.millimetres((x, y))
        near = [
            (math.dist(at, place), name) for name, place in self._targets() if math.dist(at, place) <= REACH
        ]
        return min(near)[1] if near else None

    def _about(self, x: int, y: int) -> str:
        """The insert on this pixel, or the lamp in a panel, in words: what it shows, its rule; "": none."""
        lamp = self._lamp_at(x, y)
        if not lamp:
            return ""
        machine = self._desk.machine
        rule = machine.inside.rule_of(lamp)
        words = f"{rule.title}. {rule.sentence}" if rule else "of the cabinet"
        return f"lamp {lamp}, {PATTERNS[machine.view.lamps[lamp]]}: {words}"

    def _lamp_at(self, x: int, y: int) -> str:
        if not self._desk.picture.layout.field.collidepoint(x, y):
            hit = self._desk.picture.hits.at((x, y))
            return hit.name if hit is not None and hit.kind == "lamp" else ""
        at = self._desk.picture.millimetres((x, y))
        near = [(math.dist(at, (one.x, one.y)), one) for one in self._drawing.inserts]
        under = [(far, one.lamp) for far, one in near if far <= max(one.size, LEAST_REACH)]
        return min(under)[1] if under else ""

    def _targets(self) -> list[tuple[str, tuple[float, float]]]:
        drawing = self._drawing
        known = drawing.placed_switches()
        found = [(mark.switch, (mark.x, mark.y)) for mark in drawing.marks]
        found += [(bumper.switch, (bumper.x, bumper.y)) for bumper in drawing.bumpers]
        found += [(sling.switch, drawing.points[sling.switch]) for sling in drawing.slings]
        return found + [(i.lamp, (i.x, i.y)) for i in drawing.inserts if i.lamp in known]

    def _click(self, at: tuple[int, int], button: int) -> None:
        if self._desk.timeline.holds(at):
            self._drags = True
            self._wanted_ms = self._desk.timeline.time_at(at[0])
            return
        hit = self._desk.picture.tabs.at(at) or self._desk.picture.hits.at(at)
        if hit is not None and hit.kind != "switch":
            self._follow(hit)
            return
        switch = hit.name if hit is not None else self.switch_at(*at)
        if switch is not None:
            self._click_switch(switch, button)

    def _click_switch(self, switch: str, button: int) -> None:
        self._desk.act()
        if button == LEFT_BUTTON:
            self._desk.hands.press(switch)
            self._clicked = switch
        elif button == RIGHT_BUTTON:
            self._desk.hands.toggle_latch(switch)
        self._desk.message = f"contact {switch}"

    def _follow(self, hit: Hit) -> None:
        """Show what something on a panel leads to."""
        if hit.kind == "panel":
            self._desk.show(hit.name)
        elif hit.kind == "event":
            self._desk.explain(int(hit.name))
        elif hit.kind == "chart" and hit.name in self._desk.charts.names():
            self._desk.charts.choose(hit.name)
        elif hit.kind in ("lamp", "coil"):
            at = self._desk.recent.changed.get((hit.kind, hit.name))
            if at is None:
                self._desk.message = f"{hit.kind} {hit.name} has not changed yet"
            else:
                self._desk.explain(at)
