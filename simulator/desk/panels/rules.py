"""The sentences of rules, as the rule card has them: what inserts are for."""

from collections.abc import Iterable, Sequence

import pygame

from simulator.desk.inside import RuleWords
from simulator.desk.lettering import wrapped
from simulator.desk.panels.scene import Scene
from simulator.desk.pen import Pen

LEAST_LINES = 3  # room without which there is no heading either
BETWEEN = 3  # px from rule to rule


def rules_of(scene: Scene, lamps: Iterable[str]) -> list[RuleWords]:
    """The rules that these lamps are of, each once, in the order of the lamps."""
    found = dict.fromkeys(scene.machine.inside.rule_of(lamp) for lamp in lamps)
    return [rule for rule in found if rule is not None and rule.sentence]


def draw_rules(
    pen: Pen, area: pygame.Rect, heading: str, rules: Sequence[RuleWords], columns: int = 1
) -> None:
    """Write whole sentences below a heading, in columns, as many as there is room for."""
    size = pen.size
    if not rules or area.height < size.line * LEAST_LINES:
        return
    top = y = pen.heading(area.x, area.y, area.width, heading)
    gap = size.gap * 3
    wide = (area.width - gap * (columns - 1)) // columns
    x = area.x
    for rule in rules:
        title = f"{rule.title.capitalize()}:"
        words = f"{title} {rule.sentence}"
        if y + len(wrapped(words, wide, size.small)) * size.small_line > area.bottom:
            x, y = x + wide + gap, top
            if x + wide > area.right:
                return
        below = pen.paragraph(x, y, wide, words, pen.palette.faint, size.small)
        pen.words(x, y, title, pen.palette.ink, size.small)
        y = below + BETWEEN
