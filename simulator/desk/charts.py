"""Draws a feature's chart at the desk: states as vertical lines, rows as arrows, active states lit.

It looks as `inlane draw` makes it, fitted to the area. Rows whose source is active are bright; the row
taken last is coloured.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

import pygame

from firmware.charts.model import ANY
from simulator.desk.lettering import fitted, height, width
from simulator.desk.machine import DeskMachine
from simulator.desk.pen import Pen
from simulator.drawing.style import Colour

PAD = 10  # px inside a box, both sides together
GAP, MOST_GAP = 6, 200  # between boxes; and at most as much more
NEST = 5  # from a frame to what it holds
STEP = 2.2  # lines from row to row, where there is room
TIP, LOOP = 6, 14
ABOUT = (
    "A line is a state, coloured while the rule is in it; an arrow is a row of the chart: event [guard] / "
    "action. Bright rows can answer now, the coloured one answered last."
)
BESIDE = 7  # px from a line to a label
SMALLEST = 9  # px of a font


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
    """Every chart of a game, in the order in which the trace numbers their rows; one is drawn.

    `own`: the features of the game itself, which are shown before those of the cabinet.
    """

    def __init__(self, diagrams: Sequence[Diagram], own: Collection[str] = ()) -> None:
        self._diagrams = diagrams
        self._order = sorted(range(len(diagrams)), key=lambda at: diagrams[at].name not in own)
        self._at = self._order[0] if diagrams else 0
        self._rows = [(at, row) for at, one in enumerate(diagrams) for row in range(len(one.arrows))]
        self._read = 0
        self._last: dict[int, int] = {}  # by chart: the row taken last
        self._marked: tuple[int, int] | None = None  # a chart and its row that is pointed at

    @property
    def key(self) -> tuple[int, tuple[int, int] | None]:
        """What decides the picture beside the machine: the chart, and the row that is pointed at."""
        return self._at, self._marked

    @property
    def chosen(self) -> Diagram:
        """The chart that is drawn."""
        return self._diagrams[self._at]

    def names(self) -> list[str]:
        """The names of all charts, in the order in which they are shown."""
        return [self._diagrams[at].name for at in self._order]

    def choose(self, name: str) -> None:
        """Show the chart of this name."""
        self._at = next(at for at, diagram in enumerate(self._diagrams) if diagram.name == name)

    def choose_next(self, by: int) -> None:
        """Show the chart `by` places further on, or back."""
        self._at = self._order[(self._order.index(self._at) + by) % len(self._order)]

    def point_at(self, row: int) -> None:
        """Show the chart of a row, by its number in the trace, and mark the row."""
        self._at, arrow = self._rows[row]
        self._marked = (self._at, arrow)

    def forget(self) -> None:
        """The machine went back in time: what its rows were is read again."""
        self._read = 0
        self._last.clear()
        self._marked = None

    def last(self) -> int:
        """The row of the drawn chart that was taken last, or that is pointed at; −1: none."""
        if self._marked and self._marked[0] == self._at:
            return self._marked[1]
        return self._last.get(self._at, -1)

    def draw(self, pen: Pen, area: pygame.Rect, machine: DeskMachine) -> None:
        """Draw the chosen chart as the machine is now."""
        for row, _ in machine.view.moves[self._read :]:
            at, arrow = self._rows[row]
            self._last[at] = arrow
        self._read = len(machine.view.moves)
        if self._diagrams:
            active = machine.active(self.chosen.name)
            ChartDrawing(pen, area, self.chosen, active, self.last()).draw()


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
        deepest = max((len(_holders(lane, diagram.inside)) for lane in diagram.lanes), default=0)
        top = area.y + pen.size.line + 8 + NEST * deepest
        self._boxes, self._size = boxes(diagram.lanes, area, top, pen.size.small)
        high = height(pen.size.small) + 4
        self._first = top + high + NEST * deepest + 4
        rows = max(1, len(diagram.arrows))
        self._step = min(round(STEP * high), (area.bottom - 6 - self._first) // rows)
        self._small = max(SMALLEST, min(pen.size.small, self._step - 5))
        self._end = self._first + self._step * rows + 6

    def draw(self) -> None:
        """Names on top, lines down, arrows in the order of the rows."""
        self._pen.heading(self._area.x, self._area.y, self._area.width, f"Chart of {self._diagram.name}")
        palette = self._pen.palette
        for lane in self._diagram.lanes:
            lit = lane in self._active
            x = self._boxes[lane].centerx
            down = ((x, self._boxes[lane].bottom), (x, self._end))
            pygame.draw.line(
                self._pen.surface, palette.strong if lit else palette.edge, *down, 3 if lit else 1
            )
        for lane in self._diagram.lanes:
            self._name(lane)
        legend = self._end + self._pen.size.gap
        if legend + 3 * height(self._pen.size.small) < self._area.bottom:
            self._pen.paragraph(
                self._area.x, legend, self._area.width, ABOUT, palette.faint, self._pen.size.small
            )
        for number, arrow in enumerate(self._diagram.arrows):
            self._arrow(arrow, self._first + self._step * (number + 1), number == self._last)

    def _name(self, lane: str) -> None:
        """A state's name in its box, with a frame around those it holds."""
        box, lit, palette = self._boxes[lane], lane in self._active, self._pen.palette
        held = [name for name in self._diagram.lanes if lane in _holders(name, self._diagram.inside)]
        if held:
            nested = max(_holders(name, self._diagram.inside).index(lane) for name in held) + 1
            around = box.unionall([self._boxes[name] for name in held]).inflate(6, 2 * NEST * nested)
            edge = palette.strong if lit else palette.faint
            pygame.draw.rect(self._pen.surface, edge, around, 1, border_radius=6)
        self._pen.box(box, palette.strong if lit else None, palette.strong if lit else None)
        words = fitted(lane, box.width - 4, self._size)
        x = box.centerx - width(words, self._size) // 2
        self._pen.words(x, box.y + 2, words, palette.on_strong if lit else palette.ink, self._size)

    def _arrow(self, arrow: Arrow, y: int, last: bool) -> None:
        """A row: a dot at its source and a line to each target; the dot alone when it has no target."""
        can_be = arrow.source in self._active or arrow.source == ANY
        palette = self._pen.palette
        colour = palette.strong if last else palette.ink if can_be else palette.faint
        start = self._boxes[arrow.source].centerx
        ends = [self._boxes[target].centerx for target in arrow.targets]
        self._label(arrow.label, min([start, *ends]) + BESIDE, y, colour)
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
        """Write a row's label above it; one that would leave the area ends to the left of its line."""
        small = self._small
        words = fitted(words, self._area.width - 4, small)
        wide, high = width(words, small), height(small)
        if x + wide > self._area.right:
            x = max(self._area.x, min(x - 2 * BESIDE - wide, self._area.right - wide))
        pygame.draw.rect(self._pen.surface, self._pen.palette.back, (x - 2, y - high - 1, wide + 4, high - 1))
        self._pen.words(x, y - high - 1, words, colour, small)


def boxes(
    lanes: Sequence[str], area: pygame.Rect, top: int, largest: int
) -> tuple[dict[str, pygame.Rect], int]:
    """The box of each name, side by side, and the largest font size with which all fit."""
    for size in range(largest, SMALLEST - 1, -1):
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
        found[lane] = pygame.Rect(x, top, one, height(largest) + 4)
        x += one + gap
    return found, size


def _holders(lane: str, inside: Mapping[str, str]) -> list[str]:
    """The states that hold a state, innermost first."""
    found = []
    while lane in inside:
        lane = inside[lane]
        found.append(lane)
    return found
