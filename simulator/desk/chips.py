"""Chips: the switches and coils that have no place on the drawn playfield; a switch's can be clicked."""

from collections.abc import Sequence

import pygame

from simulator.desk.lettering import width
from simulator.desk.machine import Machine
from simulator.desk.pen import BOX, EDGE, GOOD, INK, SMALL, STRONG, Pen
from simulator.desk.recent import Recent

HIGH = 18
GAP = 4
HEADING = 21
DARK = (16, 20, 16)


class Chips:
    """Small boxes in rows at the bottom of `area`; `top` is where they begin."""

    def __init__(self, area: pygame.Rect, switches: Sequence[str], coils: Sequence[str]) -> None:
        self._area = area
        lines = len(_lines(area.width, switches)), len(_lines(area.width, coils))
        self.top = area.bottom - sum(lines) * (HIGH + GAP) - 2 * HEADING - GAP
        self._coils_top = self.top + HEADING + lines[0] * (HIGH + GAP) + GAP
        self.switches = self._placed(self.top + HEADING, switches)
        self.coils = self._placed(self._coils_top + HEADING, coils)

    def at(self, x: int, y: int) -> str | None:
        """The switch whose chip is there."""
        return next((name for name, rect in self.switches.items() if rect.collidepoint(x, y)), None)

    def draw(self, pen: Pen, machine: Machine, recent: Recent) -> None:
        pen.heading(self._area.x, self.top, self._area.width, "Contacts in the cabinet")
        pen.heading(self._area.x, self._coils_top, self._area.width, "Coils in the cabinet")
        for name, rect in self.switches.items():
            closed = machine.view.switches[name]
            pen.box(rect, GOOD if closed else BOX, EDGE)
            pen.words(rect.x + 5, rect.y + 3, name, DARK if closed else INK, SMALL)
        for name, rect in self.coils.items():
            hot = recent.fired(name, machine.now)
            pen.box(rect, STRONG if hot else BOX, EDGE)
            pen.words(rect.x + 5, rect.y + 3, name, DARK if hot else INK, SMALL)

    def _placed(self, y: int, names: Sequence[str]) -> dict[str, pygame.Rect]:
        rects = {}
        for number, line in enumerate(_lines(self._area.width, names)):
            x = self._area.x
            for name in line:
                rects[name] = pygame.Rect(x, y + number * (HIGH + GAP), _wide(name), HIGH)
                x += _wide(name) + GAP
        return rects


def _wide(name: str) -> int:
    return width(name, SMALL) + 10


def _lines(wide: int, names: Sequence[str]) -> list[list[str]]:
    """The names in rows that are no wider than `wide` pixels."""
    lines: list[list[str]] = []
    room = 0
    for name in names:
        if _wide(name) > room:
            lines.append([])
            room = wide
        lines[-1].append(name)
        room -= _wide(name) + GAP
    return lines
