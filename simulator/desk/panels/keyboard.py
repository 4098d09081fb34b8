"""The panel of help: every key, and what is where."""

from collections.abc import Sequence

import pygame

from simulator.desk.keymap import Key, KeyMap
from simulator.desk.lettering import width
from simulator.desk.panels.scene import Scene
from simulator.desk.panels.table import columns
from simulator.desk.pen import Pen, Sizes

LEAST, LESS = 20, 12  # letters that a column is wide, from the most that is wanted down
Group = tuple[str, list[Key]]
ABOUT = (
    "Inserts shine through the playfield: what is lit pays or counts when its shot is made; what blinks fast "
    "ends soon. A switch turns green while a ball or a click closes it. Windows are things lit for a time, "
    "values are what rules remember, the trace is all that happened: a click on one of its lines shows why."
)


def draw(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the panel."""
    size = pen.size
    y = pen.paragraph(area.x, area.y, area.width, ABOUT, pen.palette.faint, size.small) + size.gap
    rest = pygame.Rect(area.x, y, area.width, area.bottom - y)
    groups = shown(scene.keymap, scene.machine.rolls)
    lines = placed(rest, groups, size)
    caps: dict[int, int] = {}  # by column: how wide its widest key is
    for line, rect in lines:
        if isinstance(line, Key):
            caps[rect.x] = max(caps.get(rect.x, 0), width(line.cap, size.small) + 8)
    for line, rect in lines:
        _draw(pen, rect, line, caps.get(rect.x, 0))


def shown(keymap: KeyMap, rolls: bool) -> list[Group]:
    """Headings with their keys; where balls roll, of the keys for shots only the plunger's, the first."""
    plunger = next((key for _, keys in keymap.groups for key in keys if key.kind == "shot"), None)
    found = []
    for heading, keys in keymap.groups:
        left = [key for key in keys if not rolls or key.kind != "shot" or key is plunger]
        if left:
            found.append((heading, left))
    return found


def placed(area: pygame.Rect, groups: Sequence[Group], size: Sizes) -> list[tuple[str | Key, pygame.Rect]]:
    """Every heading and key in columns, with its rectangle; closer where there is little room."""
    lines: list[str | Key] = []
    for heading, keys in groups:
        lines += [heading, *keys]
    for letters in range(LEAST, LESS - 1, -1):
        places = columns(area, letters * size.small, size.gap)
        step = min(size.small_line + 3, area.height * len(places) // (len(lines) + 2 * len(places)))
        if step >= size.small_line:
            break
    high = max(1, area.height // step)
    found, at = [], 0
    for line in lines:
        if isinstance(line, str) and at % high == high - 1:
            at += 1  # no heading at the foot of a column
        place = places[min(at // high, len(places) - 1)]
        found.append((line, pygame.Rect(place.x, place.y + at % high * step, place.width, step)))
        at += 1
    return found


def _draw(pen: Pen, place: pygame.Rect, line: "str | Key", caps: int) -> None:
    """A heading, or a key with what it does; `caps`: pixels for the keys of its column."""
    small, palette, y = pen.size.small, pen.palette, place.y
    if isinstance(line, str):
        pen.fitted(place.x, y, place.width, line.capitalize(), palette.strong, small)
        return
    cap = pygame.Rect(place.x, y, width(line.cap, small) + 8, place.height - 1)
    pen.box(cap)
    pen.words(place.x + 4, y, line.cap, None, small)
    left = place.x + caps + 6
    pen.fitted(left, y, place.right - left, line.label, palette.faint, small)
