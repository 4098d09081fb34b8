"""Chips: small boxes for switches, coils and lamps that are not on the drawn playfield."""

from collections.abc import Callable, Sequence

import pygame

from firmware.devices.lamps import lit
from simulator.desk.canvas import Colour
from simulator.desk.lettering import width
from simulator.desk.machine import DeskMachine
from simulator.desk.pen import BOX, EDGE, GOOD, INK, SMALL, STRONG, Pen
from simulator.desk.recent import Recent

HIGH = 18
GAP = 4
HEADING = 26
DARK = (16, 20, 16)


class Chips:
    """Boxes in rows at the bottom of `area`, one kind after another; `top` is the y where they begin.

    A switch's box can be clicked.
    """

    def __init__(
        self, area: pygame.Rect, switches: Sequence[str], coils: Sequence[str], lamps: Sequence[str] = ()
    ) -> None:
        self._area = area
        kinds = [("Contacts", switches), ("Coils", coils), ("Lamps", lamps)]
        lines = [(word, _lines(area.width, names)) for word, names in kinds if names]
        self.top = area.bottom - sum(HEADING + len(rows) * (HIGH + GAP) for _, rows in lines)
        self._headings: list[tuple[str, int]] = []
        self.rects: dict[str, dict[str, pygame.Rect]] = {word: {} for word, _ in kinds}
        y = self.top
        for word, rows in lines:
            self._headings.append((word, y))
            y = self._place(word, rows, y + HEADING)

    def at(self, x: int, y: int) -> str | None:
        """The switch whose chip covers this pixel; None when there is none."""
        found = [name for name, rect in self.rects["Contacts"].items() if rect.collidepoint(x, y)]
        return found[0] if found else None

    def draw(self, pen: Pen, machine: DeskMachine, recent: Recent) -> None:
        """Draw headings and boxes; what is closed, on or lit is bright."""
        for word, y in self._headings:
            pen.heading(self._area.x, y + 4, self._area.width, f"{word} off the playfield")
        view, now = machine.view, machine.now
        self._draw(pen, "Contacts", GOOD, lambda name: view.switches[name])
        self._draw(pen, "Coils", STRONG, lambda name: recent.fired_lately(name, now))
        self._draw(pen, "Lamps", STRONG, lambda name: lit(view.lamps[name], now))

    def _draw(self, pen: Pen, word: str, colour: Colour, is_on: Callable[[str], bool]) -> None:
        for name, rect in self.rects[word].items():
            on = is_on(name)
            pen.box(rect, colour if on else BOX, EDGE)
            pen.words(rect.x + 5, rect.y + 3, name, DARK if on else INK, SMALL)

    def _place(self, word: str, rows: list[list[str]], y: int) -> int:
        for row in rows:
            x = self._area.x
            for name in row:
                self.rects[word][name] = pygame.Rect(x, y, _wide(name), HIGH)
                x += _wide(name) + GAP
            y += HIGH + GAP
        return y


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
