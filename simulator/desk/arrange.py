"""A window in which the things of a drawing are moved and turned with the mouse."""

import math
from collections.abc import Callable, Iterable

import pygame

from firmware.base.errors import InlaneError
from simulator.desk.background import draw_background
from simulator.desk.inserts import Inserts
from simulator.desk.lettering import fitted
from simulator.desk.mechanisms import Mechanisms
from simulator.desk.palette import DARK
from simulator.desk.pen import Pen, sizes
from simulator.drawing.edit import Edits
from simulator.drawing.geometry import Box, Point
from simulator.drawing.items import NAMED, Item

SIZE = (1280, 860)
MARGIN = 8
SMALL, _, LARGE, _ = sizes(1)
LINE = sizes(1).line
GRID = 5  # mm
NUDGE = 1  # mm, by an arrow key
TURN = 15  # degrees
NEAR = 4  # mm around a thing within which a click counts
ROUTE = (74, 144, 217)
CHOSEN = (255, 196, 84)
HELP = (
    "drag: move a thing, its words with it; the thing's middle goes onto the grid",
    f"G: grid of {GRID} mm on, off          arrows: by {NUDGE} mm",
    f"R: turn by {TURN}°, shift R: back          Z: undo",
    "S: save          esc: leave (twice when something is not saved)",
)
ARROWS = {"left": (-NUDGE, 0), "right": (NUDGE, 0), "up": (0, -NUDGE), "down": (0, NUDGE)}


class Arranger:
    """Changes one drawing by mouse and keys; `save` writes a file's bytes. Raises GameError: no SVG."""

    def __init__(self, edits: Edits, save: Callable[[bytes], None]) -> None:
        self.edits = edits
        self.snaps = True
        self.chosen = ""
        self.message = HELP[0]
        self._save = save
        self._saved = edits.data
        self._leaving = False
        self._open = True
        self._grip: Point | None = None  # from the chosen item's middle to the mouse, while it is dragged
        self._at: Point = (0, 0)
        wide, high = edits.drawing.size
        self.scale = (SIZE[1] - 2 * MARGIN) / high
        self.field = pygame.Rect(MARGIN, MARGIN, round(wide * self.scale), SIZE[1] - 2 * MARGIN)
        self._ground = self._draw_ground()

    @property
    def is_changed(self) -> bool:
        """Whether something is not saved."""
        return self.edits.data != self._saved

    def step(self, events: Iterable[pygame.event.Event]) -> bool:
        """Handle the events; False once the user leaves."""
        for event in events:
            self._answer(event)
        return self._open

    def pixel(self, x: float, y: float) -> tuple[int, int]:
        """Where a point of the drawing is in the window."""
        return round(self.field.x + x * self.scale), round(self.field.y + y * self.scale)

    def item(self, name: str) -> Item | None:
        """The present item with this id."""
        return next((item for item in self._items() if item.name == name), None)

    def draw(self, surface: pygame.Surface) -> None:
        """Draw the window as it is now on a surface of SIZE."""
        surface.fill(DARK.back)
        surface.blit(self._ground, self.field)
        self._draw_routes(surface)
        item = self.item(self.chosen)
        if item is not None:
            self._draw_chosen(surface, item)
        self._draw_words(Pen(surface), item)

    # Events

    def _answer(self, event: pygame.event.Event) -> None:
        if event.type == pygame.QUIT:
            self._leave()
        elif event.type == pygame.KEYDOWN:
            self._key(pygame.key.name(event.key), bool(getattr(event, "mod", 0) & pygame.KMOD_SHIFT))
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            self._press(self._millimetres(event.pos))
        elif event.type == pygame.MOUSEMOTION:
            self._at = self._millimetres(event.pos)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == 1 and self._grip is not None:
            self._at = self._millimetres(event.pos)
            self._drop()

    def _key(self, key: str, shifted: bool) -> None:
        item = self.item(self.chosen)
        self._leaving = self._leaving and key == "escape"
        if key == "escape":
            self._leave()
        elif key == "g":
            self.snaps = not self.snaps
            self.message = f"grid of {GRID} mm {'on' if self.snaps else 'off'}"
        elif key == "s":
            self._write()
        elif key == "z":
            self.message = "undone" if self.edits.undo() else "! there is nothing to undo"
            self._ground = self._draw_ground()
        elif item is not None and key == "r":
            self._change(lambda: self.edits.turn(item, -TURN if shifted else TURN))
        elif item is not None and key in ARROWS:
            self._change(lambda: self.edits.move(item, *ARROWS[key]))

    def _leave(self) -> None:
        if self.is_changed and not self._leaving:
            self._leaving = True
            self.message = "! something is not saved: S saves it, esc again leaves without"
        else:
            self._open = False

    def _write(self) -> None:
        try:
            self._save(self.edits.data)
        except InlaneError as error:
            self.message = f"! {error}"
        else:
            self._saved = self.edits.data
            self.message = "saved"

    def _press(self, at: Point) -> None:
        self._at = at
        found = self._item_at(at)
        self.chosen = found.name if found else ""
        self._grip = None
        if found:
            x, y = found.box().middle
            self._grip = at[0] - x, at[1] - y
            self.message = f"{found.name}: {x:.0f}, {y:.0f} mm"

    def _drop(self) -> None:
        item = self.item(self.chosen)
        if item is not None:
            dx, dy = self._shift(item)
            if dx or dy:
                self._change(lambda: self.edits.move(item, dx, dy))
        self._grip = None

    def _change(self, change: Callable[[], None]) -> None:
        change()
        self._ground = self._draw_ground()
        item = self.item(self.chosen)
        if item is not None:
            x, y = item.box().middle
            self.message = f"{item.name}: {x:.1f}, {y:.1f} mm"

    def _shift(self, item: Item) -> Point:
        """How far the dragged item is from its place; on the grid, when that is on and it was dragged."""
        if self._grip is None:
            return 0, 0
        x, y = item.box().middle
        to = self._at[0] - self._grip[0], self._at[1] - self._grip[1]
        if math.dist((x, y), to) < 1:
            return 0, 0
        if self.snaps:
            to = GRID * round(to[0] / GRID), GRID * round(to[1] / GRID)
        return to[0] - x, to[1] - y

    def _items(self) -> list[Item]:
        """Everything that can be moved: what has a name of the machine."""
        groups = (*NAMED, "elastic")
        return [item for item in self.edits.drawing.items if item.name and item.parts and item.role in groups]

    def _item_at(self, at: Point) -> Item | None:
        """The smallest item at a point of the drawing."""
        near = [(box.width * box.height, item) for item in self._items() if _near(box := item.box(), at)]
        return min(near, key=lambda one: one[0])[1] if near else None

    def _millimetres(self, pixel: tuple[int, int]) -> Point:
        return (pixel[0] - self.field.x) / self.scale, (pixel[1] - self.field.y) / self.scale

    # Pictures

    def _draw_ground(self) -> pygame.Surface:
        drawing = self.edits.drawing
        ground = draw_background(drawing, self.scale)
        Mechanisms(drawing, self.scale).draw_at_rest(ground)
        Inserts(drawing, self.scale).draw_dark(ground)
        return ground

    def _draw_routes(self, surface: pygame.Surface) -> None:
        for item in self._items():
            if item.role == "route":
                for part in item.parts:
                    for points, closed in part.outlines:
                        pixels = [self.pixel(*point) for point in points]
                        pygame.draw.lines(surface, ROUTE, closed, pixels)

    def _draw_chosen(self, surface: pygame.Surface, item: Item) -> None:
        box, (dx, dy) = item.box(), self._shift(item)
        corner = self.pixel(box.left + dx - NEAR, box.top + dy - NEAR)
        size = ((box.width + 2 * NEAR) * self.scale, (box.height + 2 * NEAR) * self.scale)
        pygame.draw.rect(surface, CHOSEN, pygame.Rect(corner, size), 2)
        if dx or dy:
            for part in item.parts:
                for points, closed in part.outlines:
                    pixels = [self.pixel(x + dx, y + dy) for x, y in points]
                    pygame.draw.lines(surface, CHOSEN, closed, pixels)

    def _draw_words(self, pen: Pen, item: Item | None) -> None:
        x, wide = self.field.right + 20, SIZE[0] - self.field.right - 40
        y = pen.heading(x, MARGIN + 8, wide, "Arranging the drawing")
        for line in HELP:
            pen.words(x, y, line, DARK.faint)
            y += LINE + 4
        y = pen.heading(x, y + 12, wide, "What does not fit")
        remarks = self.edits.drawing.remarks
        for remark in remarks[:30]:
            words = fitted(f"line {remark.line}: {remark.text}", wide, SMALL)
            pen.words(x, y, words, DARK.bad if remark.fatal else DARK.ink, SMALL)
            y += LINE
        if not remarks:
            pen.words(x, y, "nothing", DARK.faint)
        colour = DARK.bad if self.message.startswith("!") else DARK.strong
        pen.words(x, SIZE[1] - 60, fitted(self.message, wide, LARGE), colour, LARGE)
        state = "not saved" if self.is_changed else "no change to save"
        pen.words(x, SIZE[1] - 34, f"{state}; grid {'on' if self.snaps else 'off'}", DARK.faint)
        pygame.draw.rect(pen.surface, DARK.edge, self.field, 2, border_radius=4)


def _near(box: Box, at: Point) -> bool:
    return Box(box.left - NEAR, box.top - NEAR, box.right + NEAR, box.bottom + NEAR).holds(*at)
