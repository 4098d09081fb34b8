"""The whole picture in a window of any size: playfield, display, one panel, time and caution.

Each region is drawn again only when what it shows changed; `draw` says which were.
"""

from collections.abc import Hashable, Sequence
from typing import NamedTuple

import pygame

from simulator.desk.displays import TWO_LINES, Displays, Size
from simulator.desk.field import Field
from simulator.desk.glyphs import GLASS
from simulator.desk.hits import Hits
from simulator.desk.layout import CAUTION, Layout, lay_out
from simulator.desk.lettering import height, width, wrapped
from simulator.desk.palette import DARK, Palette
from simulator.desk.panels import PANELS, panel
from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen
from simulator.desk.timeline import Timeline
from simulator.desk.warmth import LEVELS
from simulator.drawing.drawing import Drawing

BUSY_MS, IDLE_MS = 100, 1000  # a panel of which time alone passes is drawn this often


class Told(NamedTuple):
    """What the desk itself has to say: the line for the player, the pace, the panel that is shown.

    `is_idle`: no ball is out.
    """

    message: str
    pace: str
    panel: str
    is_idle: bool = False


class Picture:
    """Draws one machine for a window of `size` pixels in one palette."""

    def __init__(
        self,
        drawing: Drawing,
        size: tuple[int, int],
        timeline: Timeline,
        leds: Sequence[str] = (),
        displays: Sequence[Size] = TWO_LINES,
        palette: Palette = DARK,
    ) -> None:
        self.made_for = size
        self.layout: Layout = lay_out(size, drawing.size)
        self.palette = palette
        self.hits = Hits()  # of the panel
        self.tabs = Hits()
        self.field = Field(drawing, self.layout.scale, palette, leds)
        self.displays = Displays(displays, self.layout.cell)
        self._timeline = timeline
        self._shown: dict[str, Hashable] = {}

    def draw(self, surface: pygame.Surface, scene: Scene, told: Told) -> list[pygame.Rect]:
        """Draw what changed since the last time; the rectangles that were drawn."""
        layout, machine = self.layout, scene.machine
        pen = Pen(surface, self.palette, layout.sizes)
        drawn = []
        if self._is_new("ground", surface.get_size()):
            self._shown = {"ground": surface.get_size()}
            self._draw_ground(pen)
            drawn.append(surface.get_rect())
        if self.field.draw(surface, layout.field, machine, scene.recent) or drawn:
            drawn.append(layout.field)
        if self._is_new("glass", tuple(map(tuple, machine.view.cells))):
            self._draw_glass(surface, scene)
            drawn.append(layout.glass)
        since = len(machine.view.history), machine.now // (IDLE_MS if told.is_idle else BUSY_MS)
        told_now = (told.panel, scene.files, scene.page, scene.charts.key)
        shows = (told_now, since, self._contacts(scene), self._lit())
        if self._is_new("panel", shows):
            self._draw_panel(pen, scene, told.panel)
            drawn += [layout.tabs, layout.panel]
        if self._is_new("foot", (told.message, told.pace, since, self._timeline.is_past(machine.now))):
            self._draw_foot(pen, scene, told)
            drawn.append(layout.message.union(layout.time))
        return drawn

    def millimetres(self, at: tuple[int, int]) -> tuple[float, float]:
        """The point of the drawing at this pixel."""
        field, scale = self.layout.field, self.layout.scale
        return (at[0] - field.x) / scale, (at[1] - field.y) / scale

    def forget(self) -> None:
        """Draw everything the next time."""
        self._shown.clear()
        self.field.forget()

    def _is_new(self, region: str, shows: Hashable) -> bool:
        is_new = self._shown.get(region) != shows
        self._shown[region] = shows
        return is_new

    @staticmethod
    def _contacts(scene: Scene) -> Hashable:
        view = scene.machine.view
        return tuple(view.switches.values()), tuple(view.states.values()), tuple(view.scores.values())

    def _lit(self) -> Hashable:
        """Which lamps shine, for the panels that name them."""
        return tuple(level > LEVELS // 2 for level in self.field.warmth.levels.values())

    def _draw_ground(self, pen: Pen) -> None:
        """Draw what never changes: the glass, the caution."""
        layout, palette = self.layout, self.palette
        pen.surface.fill(palette.back)
        pygame.draw.rect(pen.surface, GLASS, layout.glass, border_radius=6)
        y = layout.caution.y
        for line in wrapped(CAUTION, layout.caution.width, layout.sizes.small):
            pen.words(layout.caution.x, y, line, palette.faint, layout.sizes.small)
            y += height(layout.sizes.small) + 1

    def _draw_glass(self, surface: pygame.Surface, scene: Scene) -> None:
        self.displays.draw(surface, self.glass, scene.machine.view.cells)

    @property
    def glass(self) -> pygame.Rect:
        """Where the displays begin: in the middle of their glass."""
        place = pygame.Rect((0, 0), self.displays.size)
        place.center = self.layout.glass.center
        return place

    def _draw_panel(self, pen: Pen, scene: Scene, name: str) -> None:
        layout = self.layout
        pen.surface.fill(self.palette.back, layout.tabs.inflate(0, 2))
        pen.surface.fill(self.palette.back, layout.panel.inflate(8, 4))
        self._draw_tabs(pen, name)
        self.hits.clear()
        pen.surface.set_clip(layout.panel.inflate(8, 4))
        panel(name).draw(pen, layout.panel, scene)
        pen.surface.set_clip(None)

    def _draw_tabs(self, pen: Pen, shown: str) -> None:
        """A tab for each panel, as wide as its word, with the room that is left shared out."""
        area, palette = self.layout.tabs, self.palette
        size = pen.size.usual
        words = [width(one.name.capitalize(), size) for one in PANELS]
        room = (area.width - sum(words)) / len(PANELS)
        self.tabs.clear()
        x = float(area.x)
        for one, wide in zip(PANELS, words, strict=True):
            rect = pygame.Rect(round(x), area.y, round(wide + room) - 3, area.height)
            chosen = one.name == shown
            pen.box(rect, palette.strong if chosen else None, palette.strong if chosen else None)
            ink = palette.on_strong if chosen else palette.ink
            pen.words(rect.centerx - wide // 2, rect.y + 4, one.name.capitalize(), ink)
            self.tabs.add(rect, "panel", one.name)
            x += wide + room

    def _draw_foot(self, pen: Pen, scene: Scene, told: Told) -> None:
        layout, palette = self.layout, self.palette
        pen.surface.fill(palette.back, layout.message.union(layout.time).inflate(6, 8))
        is_bad = told.message.startswith("!")
        place, sizes = layout.message, layout.sizes
        fits = [size for size in (sizes.large, sizes.usual) if width(told.message, size) <= place.width]
        size = fits[0] if fits else sizes.small
        colour = palette.bad if is_bad else palette.ink
        pen.fitted(place.x, place.bottom - height(size), place.width, told.message, colour, size)
        self._timeline.draw(pen, layout.time, scene.machine.view, scene.machine.now, told.pace)
