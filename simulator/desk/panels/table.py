"""Rows in columns, a page at a time: what most panels are made of."""

from collections.abc import Sequence
from typing import TypeVar

import pygame

from simulator.desk.pen import Pen

Row = TypeVar("Row")


def columns(area: pygame.Rect, least: int, gap: int) -> list[pygame.Rect]:
    """As many columns side by side as fit when each is `least` wide."""
    count = max(1, (area.width + gap) // (least + gap))
    wide = (area.width - gap * (count - 1)) // count
    return [pygame.Rect(area.x + at * (wide + gap), area.y, wide, area.height) for at in range(count)]


def balanced(rows: int, count: int, high: int) -> int:
    """How many rows each of `count` columns gets, so that all are about as long: `high` at most."""
    return max(1, min(high, -(-rows // count)))


def pages(rows: Sequence[Row], most: int, page: int) -> tuple[Sequence[Row], str]:
    """The rows of a page of `most`, round and round, and which page it is ("": there is one)."""
    count = -(-len(rows) // max(1, most)) or 1
    at = page % count
    words = f"page {at + 1} of {count}: [ and ] turn" if count > 1 else ""
    return rows[at * most : (at + 1) * most], words


def note(pen: Pen, area: pygame.Rect, words: str) -> None:
    """A faint remark at the right of a heading."""
    if words:
        pen.right(area.right, area.y, words, pen.palette.faint, pen.size.small)
