"""Draws the desk's third column: the key map."""

import pygame

from simulator.desk.keymap import Key, KeyMap
from simulator.desk.lettering import width
from simulator.desk.pen import BOX, EDGE, FAINT, INK, SMALL, Pen

HIGH = 15
ROW = 16


def draw_keys(pen: Pen, area: pygame.Rect, keymap: KeyMap) -> int:
    """Draw every key with its label, in two columns where they fit; returns the y below."""
    y = area.y
    for heading, keys in keymap.groups:
        y = pen.heading(area.x, y, area.width, heading.capitalize())
        x = area.x
        for key in keys:
            wide = _width(key)
            slot = (wide + area.width // 2 - 1) // (area.width // 2) * (area.width // 2)
            if x + wide > area.right:
                x, y = area.x, y + ROW
            _draw(pen, x, y, key)
            x += slot
        y += ROW + 4
    return y


def _width(key: Key) -> int:
    return width(key.cap, SMALL) + width(key.label, SMALL) + 18


def _draw(pen: Pen, x: int, y: int, key: Key) -> None:
    cap = pygame.Rect(x, y, width(key.cap, SMALL) + 8, HIGH)
    pen.box(cap, BOX, EDGE)
    pen.words(x + 4, y + 2, key.cap, INK, SMALL)
    pen.words(cap.right + 5, y + 2, key.label, FAINT, SMALL)
