"""The start card: the few keys that a newcomer needs, read in ten seconds."""

import pygame

from simulator.desk.keymap import Key
from simulator.desk.lettering import width
from simulator.desk.panels.rules import draw_rules, rules_of
from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen

CABINET = ("start", "button.left", "button.right")
DESK = (
    ("help", "every key, and what is where"),
    ("panel", "look inside the machine"),
    ("pause", "stop the time"),
    ("back", "back in time"),
    ("sound", "sound on"),
)
MOST = 5  # shots that are shown
LIT = (
    "The names on the playfield are the game's: what is lit pays or counts when its shot is made. "
    "Point at an insert to see what it is for."
)
SHOTS = (LIT, "A shot needs a ball that waits at a flipper. Click a target or a lane to close its contact.")
ROLLING = (
    LIT,
    "Hold the plunger's key longer for a stronger plunge. Let the ball roll down a flipper to aim.",
)
NUDGES = ("nudge.left", "nudge.up", "nudge.right")


def draw_card(pen: Pen, area: pygame.Rect, scene: Scene) -> None:
    """Draw the card: how to start, to play and to look inside."""
    size, palette = pen.size, pen.palette
    title = scene.machine.title.replace("_", " ").title()
    y = pen.heading(area.x, area.y, area.width, f"How to play {title}") + 4
    gap = size.gap * 3
    wide = (area.width - gap) // 2
    rows = _play(scene)
    below = _column(pen, area.x, y, wide, rows)
    inside = [(key, words) for name, words in DESK if (key := scene.keymap.desk_key(name))]
    below = max(below, _column(pen, area.x + wide + gap, y, wide, inside))
    for line in ROLLING if scene.machine.rolls else SHOTS:
        below = pen.paragraph(area.x, below + size.gap, area.width, line, palette.faint, size.small)
    below += size.gap * 2
    rest = pygame.Rect(area.x, below, area.width, area.bottom - below)
    draw_rules(pen, rest, "What the inserts are for", rules_of(scene, scene.machine.view.lamps), 2)


def _play(scene: Scene) -> list[tuple[Key, str]]:
    """Start, plunge, flippers, a few shots, in the order in which they are needed."""
    keys = [key for _, group in scene.keymap.groups for key in group]
    cabinet = {key.name: key for key in keys if key.kind == "switch"}
    shots = [key for key in keys if key.kind == "shot"]
    rows = [(cabinet[name], cabinet[name].label) for name in CABINET[:1] if name in cabinet]
    plunge = "{}: hold, let go" if scene.machine.rolls else "{}"
    rows += [(key, plunge.format(key.label)) for key in shots[:1]]
    rows += [(cabinet[name], cabinet[name].label) for name in CABINET[1:3] if name in cabinet]
    if scene.machine.rolls:
        return rows + [(key, key.label) for key in map(scene.keymap.desk_key, NUDGES)]
    letters = [key for key in shots if len(key.key) == 1 and key.key.isalpha()]
    return rows + [(key, f"shot: {key.label}") for key in letters[:MOST]]


def _column(pen: Pen, x: int, y: int, wide: int, rows: list[tuple[Key, str]]) -> int:
    """Keys with what they do, one below the other; returns the y below."""
    caps = max((width(key.cap, pen.size.usual) for key, _ in rows), default=0) + 24
    step = pen.size.line + 8
    for key, words in rows:
        cap = pygame.Rect(x, y, width(key.cap, pen.size.usual) + 12, pen.size.line + 3)
        pen.box(cap)
        pen.words(x + 6, y + 1, key.cap)
        pen.fitted(x + caps, y + 1, wide - caps, words)
        y += step
    return y
