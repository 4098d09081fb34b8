"""The whole picture of the desk: playfield on the left, display on top, three columns below it."""

from collections.abc import Sequence

import pygame

from simulator.desk.background import draw_background
from simulator.desk.balls import Balls
from simulator.desk.charts import ChartViewer
from simulator.desk.chips import Chips
from simulator.desk.displays import TWO_LINES, Displays, Size
from simulator.desk.glyphs import GLASS
from simulator.desk.inserts import Inserts
from simulator.desk.keyboard import draw_keys
from simulator.desk.keymap import KeyMap
from simulator.desk.machine import DeskMachine
from simulator.desk.mechanisms import Mechanisms
from simulator.desk.pen import BACK, BAD, EDGE, FAINT, INK, LARGE, SMALL, Pen, fitted
from simulator.desk.recent import Recent
from simulator.desk.states import draw_states
from simulator.desk.status import draw_status
from simulator.drawing.drawing import Drawing

SIZE = (1280, 860)
MARGIN = 8
WIDEST = 418  # pixels of the playfield
COLUMNS = (290, 240, 278)
GAP = 14
CAUTION = (
    "Caution: lamps and flashers blink here, up to 2.5 times a second (4 with calm lamps off). "
    "Stop if flashing light troubles you."
)


class Picture:
    """Draws one machine."""

    def __init__(
        self,
        drawing: Drawing,
        keymap: KeyMap,
        switches: Sequence[str],
        coils: Sequence[str],
        charts: ChartViewer,
        displays: Sequence[Size] = TWO_LINES,
    ) -> None:
        self._keymap = keymap
        self._charts = charts
        wide, high = drawing.size
        self.scale = min((SIZE[1] - 2 * MARGIN) / high, WIDEST / wide)
        self.field = pygame.Rect(MARGIN, MARGIN, round(wide * self.scale), round(high * self.scale))
        self._field = pygame.Surface(self.field.size)
        self._ground = _opaque(draw_background(drawing, self.scale))
        self._inserts = Inserts(drawing, self.scale)
        self._mechanisms = Mechanisms(drawing, self.scale)
        self._balls = Balls(drawing, self.scale)
        self.displays = Displays(displays)
        self.glass = pygame.Rect((self.field.right + 10, MARGIN), self.displays.size)
        self._status_column, self._states_column, self._keys_column = self._laid_out()
        self._still = self._draw_still()
        self.chips = Chips(
            self._status_column,
            [name for name in switches if name not in drawing.placed_switches()],
            [name for name in coils if name not in drawing.placed_coils()],
            [name for name in drawing.machine.lamps if name not in drawing.placed_lamps()],
        )
        self._status_column.height = self.chips.top - self._status_column.y - 8

    def draw(
        self, surface: pygame.Surface, machine: DeskMachine, recent: Recent, pace: str, message: str
    ) -> None:
        """Draw everything as it is now; `message` is the line for the player."""
        surface.blit(self._still, (0, 0))
        self._draw_field(machine, recent)
        surface.blit(self._field, self.field)
        pygame.draw.rect(surface, EDGE, self.field, 2, border_radius=4)
        self.displays.draw(surface, self.glass, machine.view.cells)
        pen = Pen(surface)
        if self._charts.shown:
            self._draw_chart(pen, machine)
        else:
            draw_status(pen, self._status_column, machine, recent)
            draw_states(pen, self._states_column, machine)
            self.chips.draw(pen, machine, recent)
        self._draw_foot(pen, machine, pace, message)

    @property
    def states(self) -> pygame.Rect:
        """The rectangle of the column of states; beside a chart it moves to the left."""
        column = self._states_column.copy()
        column.x = self.glass.x + 4 if self._charts.shown else column.x
        return column

    def _draw_chart(self, pen: Pen, machine: DeskMachine) -> None:
        """Draw states and a chart instead of the columns."""
        left = self.states
        pen.surface.fill(BACK, (self.glass.x, left.y, SIZE[0] - self.glass.x, left.height))
        draw_states(pen, left, machine, self._charts.chosen.name)
        x = left.right + GAP
        self._charts.draw(pen, pygame.Rect(x, left.y, self.glass.right - x, left.height), machine)

    def _draw_still(self) -> pygame.Surface:
        """Draw what never changes: the key map, the display's glass, the caution."""
        still = pygame.Surface(SIZE)
        still.fill(BACK)
        pygame.draw.rect(still, GLASS, self.glass, border_radius=6)
        pen = Pen(still)
        draw_keys(pen, self._keys_column, self._keymap)
        pen.words(self.glass.x, SIZE[1] - 22, fitted(CAUTION, self.glass.width, SMALL), FAINT, SMALL)
        return still

    def _draw_field(self, machine: DeskMachine, recent: Recent) -> None:
        self._field.blit(self._ground, (0, 0))
        self._mechanisms.draw_below(self._field, recent, machine.now)
        self._inserts.draw(self._field, machine.view.lamps, machine.now)
        self._mechanisms.draw(self._field, machine.view, recent, machine.now)
        self._balls.draw(self._field, machine.balls, machine.now)

    def _draw_foot(self, pen: Pen, machine: DeskMachine, pace: str, message: str) -> None:
        x, wide = self.glass.x, self.glass.width
        y = SIZE[1] - 46
        pen.words(x, y, fitted(message, wide - 240, LARGE), BAD if message.startswith("!") else INK, LARGE)
        pen.right(x + wide, y, f"{machine.now / 1000:.3f} s   {pace}", INK, LARGE)

    def _laid_out(self) -> list[pygame.Rect]:
        x, y = self.glass.x, self.glass.bottom + 8
        rects = []
        for wide in COLUMNS:
            rects.append(pygame.Rect(x, y, wide, SIZE[1] - 52 - y))
            x += wide + GAP
        return rects


def _opaque(image: pygame.Surface) -> pygame.Surface:
    """The image on the desk's background colour: an opaque one is quicker to copy."""
    surface = pygame.Surface(image.get_size())
    surface.fill(BACK)
    surface.blit(image, (0, 0))
    return surface
