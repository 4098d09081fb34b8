"""What a click means: rectangles of the picture, each with what it stands for."""

from typing import NamedTuple

import pygame


class Hit(NamedTuple):
    """`kind`: "switch", "chart", "event" (its place in the history), "panel", "time"; `name` which one."""

    kind: str
    name: str


class Hits:
    """Rectangles in the order of drawing; the one drawn last counts."""

    def __init__(self) -> None:
        self._found: list[tuple[pygame.Rect, Hit]] = []

    def clear(self) -> None:
        """Forget them all, before something is drawn anew."""
        self._found.clear()

    def add(self, rect: pygame.Rect, kind: str, name: str) -> None:
        """A click on `rect` means this."""
        self._found.append((rect, Hit(kind, name)))

    def at(self, pos: tuple[int, int]) -> Hit | None:
        """What a click on this pixel means; None: nothing."""
        for rect, hit in reversed(self._found):
            if rect.collidepoint(pos):
                return hit
        return None

    def rect(self, kind: str, name: str) -> pygame.Rect | None:
        """Where something is; None: it is not shown."""
        return next((rect for rect, hit in self._found if hit == (kind, name)), None)
