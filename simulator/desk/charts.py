"""Draws a feature's chart at the desk: states as vertical lines, rows as arrows, active states lit.

It looks as `inlane draw` makes it, fitted to the area. Rows whose source is active are bright; the row
taken last is coloured.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

import pygame

from firmware.charts.model import ANY
from simulator.desk.canvas import Colour
from simulator.desk.lettering import width
from simulator.desk.machine import DeskMachine
from simulator.desk.pen import BACK, BOX, EDGE, FAINT, INK, SMALL, STRONG, Pen, fitted

DARK: Colour = (20, 16, 8)
HIGH = 19  # of a state's box
PAD = 10  # inside a box, both sides together
GAP, MOST_GAP = 6, 200  # between boxes; and at most as much more
NEST = 5  # from a frame to what it holds
STEP = 30  # px from row to row, where there is room
TIP, LOOP = 6, 14
SIZES = (SMALL, 15, 13)


class Arrow(Protocol):
    """One row of a chart."""

    @property
    def source(self) -> str:
        """The state that it leaves."""

    @property
    def targets(self) -> tuple[str, ...]:
        """The states that it enters; none: an action that leaves nothing."""

    @property
    def label(self) -> str:
        """Event, guard and action as written above it."""


class Diagram(Protocol):
    """One chart: `lanes` its states, holders before those they hold, `inside` who holds whom."""

    @property
    def name(self) -> str:
        """The feature's name."""

    @property
    def lanes(self) -> tuple[str, ...]:
        """Every state, holders before those they hold."""

    @property
    def inside(self) -> dict[str, str]:
        """By state: the state that holds it."""

    @property
    def arrows(self) -> Sequence[Arrow]:
        """Every row, in the order of the table."""


class ChartViewer:
    """Every chart of a game, in the order in which the trace numbers their rows; one is drawn."""

    def __init__(self, diagrams: Sequence[Diagram]) -> None:
        self.shown = False
        self._diagrams = diagrams
        self._at = 0
        self._rows = [(at, row) for at, one in enumerate(diagrams) for row in range(len(one.arrows))]
        self._read = 0
        self._last: dict[int, int] = {}  # by chart: the row taken last

    @property
    def chosen(self) -> Diagram:
        """The chart that is drawn."""
        return self._diagrams[self._at]

    def names(self) -> list[str]:
        """The names of all charts, in order."""
        return [diagram.name for diagram in self._diagrams]

    def choose(self, name: str) -> None:
        """Show the chart of this name."""
        self._at = self.names().index(name)
        self.shown = True

    def choose_next(self, by: int) -> None:
        """Show the chart `by` places further on, or back."""
        self._at = (self._at + by) % len(self._diagrams)
        self.shown = True

    def draw(self, pen: Pen, area: pygame.Rect, machine: DeskMachine) -> None:
        """Draw the chosen chart as the machine is now."""
        for row, _ in machine.view.moves[self._read :]:
            at, arrow = self._rows[row]
            self._last[at] = arrow
        self._read = len(machine.view.moves)
        active = machine.active(self.chosen.name)
        ChartDrawing(pen, area, self.chosen, active, self._last.get(self._at, -1)).draw()


class ChartDrawing:
    """One chart drawn into `area`. `last`: the index of the row taken last, −1 for none."""

    def __init__(
        self, pen: Pen, area: pygame.Rect, diagram: Diagram, active: Collection[str], last: int
    ) -> None:
        self._pen = pen
        self._area = area
        self._diagram = diagram
        self._active = active
        self._last = last
        self._deepest = max((len(_holders(lane, diagram.inside)) for lane in diagram.lanes), default=0)
        top = area.y + 26 + NEST * self._deepest
        self._boxes, self._size = boxes(diagram.lanes, area, top)
        self._first = top + HIGH + NEST * self._deepest + 8
        rows = max(1, len(diagram.arrows))
        self._step = min(STEP, (area.bottom - self._first) // rows)
        self._end = self._first + self._step * rows + 6

    def draw(self) -> None:
        """Names on top, lines down, arrows in the order of the rows."""
        self._pen.heading(self._area.x, self._area.y, self._area.width, f"Chart of {self._diagram.name}")
        for lane in self._diagram.lanes:
            lit = lane in self._active
            x = self._boxes[lane].centerx
            down = ((x, self._boxes[lane].bottom), (x, self._end))
            pygame.draw.line(self._pen.surface, STRONG if lit else EDGE, *down, 3 if lit else 1)
        for lane in self._diagram.lanes:
            self._name(lane)
        for number, arrow in enumerate(self._diagram.arrows):
            self._arrow(arrow, self._first + self._step * (number + 1), number == self._last)

    def _name(self, lane: str) -> None:
        """A state's name in its box, with a frame around those it holds."""
        box, lit = self._boxes[lane], lane in self._active
        held = [name for name in self._diagram.lanes if lane in _holders(name, self._diagram.inside)]
        if held:
            nested = max(_holders(name, self._diagram.inside).index(lane) for name in held) + 1
            around = box.unionall([self._boxes[name] for name in held]).inflate(6, 2 * NEST * nested)
            pygame.draw.rect(self._pen.surface, STRONG if lit else FAINT, around, 1, border_radius=6)
        self._pen.box(box, STRONG if lit else BOX, STRONG if lit else EDGE)
        words = fitted(lane, box.width - 4, self._size)
        x = box.centerx - width(words, self._size) // 2
        self._pen.words(x, box.y + 4, words, DARK if lit else INK, self._size)

    def _arrow(self, arrow: Arrow, y: int, last: bool) -> None:
        """A row: a dot at its source and a line to each target; the dot alone when it has no target."""
        can_be = arrow.source in self._active or arrow.source == ANY
        colour = STRONG if last else INK if can_be else FAINT
        start = self._boxes[arrow.source].centerx
        ends = [self._boxes[target].centerx for target in arrow.targets]
        self._label(arrow.label, min([start, *ends]) + 7, y, colour)
        pygame.draw.circle(self._pen.surface, colour, (start, y), 4, 0 if ends else 1)
        for end in ends:
            self._line(start, end, y, colour, 2 if last else 1)

    def _line(self, start: int, end: int, y: int, colour: Colour, thick: int) -> None:
        surface = self._pen.surface
        if start == end:  # back to itself
            round_it = [
                (start, y),
                (start + LOOP, y),
                (start + LOOP, y + LOOP // 2),
                (start + 1, y + LOOP // 2),
            ]
            pygame.draw.lines(surface, colour, False, round_it, thick)
            y, back = y + LOOP // 2, TIP
        else:
            pygame.draw.line(surface, colour, (start, y), (end, y), thick)
            back = -TIP if end > start else TIP
        pygame.draw.polygon(surface, colour, [(end, y), (end + back, y - 4), (end + back, y + 4)])

    def _label(self, words: str, x: int, y: int, colour: Colour) -> None:
        """Write a row's label above it, moved to the left where it would leave the area."""
        words = fitted(words, self._area.width - 4, SMALL)
        wide = width(words, SMALL)
        x = max(self._area.x, min(x, self._area.right - wide))
        pygame.draw.rect(self._pen.surface, BACK, (x - 2, y - 16, wide + 4, 13))
        self._pen.words(x, y - 16, words, colour, SMALL)


def boxes(lanes: Sequence[str], area: pygame.Rect, top: int) -> tuple[dict[str, pygame.Rect], int]:
    """The box of each name, side by side, and the largest font size with which all fit."""
    for size in SIZES:
        wide = [width(lane, size) + PAD for lane in lanes]
        room = area.width - 8 - sum(wide) - GAP * (len(lanes) - 1)
        if room >= 0:
            break
    else:
        wide = [(area.width - 8) // len(lanes) - GAP] * len(lanes)
        room = 0
    gap = GAP + min(MOST_GAP, room // max(1, len(lanes) - 1))
    found = {}
    x = area.x + 4
    for lane, one in zip(lanes, wide, strict=True):
        found[lane] = pygame.Rect(x, top, one, HIGH)
        x += one + gap
    return found, size


def _holders(lane: str, inside: Mapping[str, str]) -> list[str]:
    """The states that hold a state, innermost first."""
    found = []
    while lane in inside:
        lane = inside[lane]
        found.append(lane)
    return found
