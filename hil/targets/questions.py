"""What guards answer while a game runs in this process; neither the trace nor the board knows of it."""

from typing import Any

from firmware.charts.table import DUE
from firmware.console import Console

Answer = tuple[int, bool]
"""A row, and what its guard said when the row was a candidate."""


class Questioned(Console):
    """A console that notes in `answers` what every guard says, in order."""

    answers: list[Answer]

    def _build(self, game: Any, packed: Any) -> None:
        super()._build(game, packed)
        self.answers = []
        _listen(self.engine, self.answers)


def _listen(engine: Any, answers: list[Answer]) -> None:
    """Note what `allows` says of every guard."""
    table, allows = engine.table, engine.allows
    plain = len(table.calls)

    def told(number: int, event: int) -> bool:
        code = table.guard[number]
        code = table.guards[code - plain] if code >= plain else code << 3
        if code & DUE and engine._running_again(number, event):
            return False  # the timer was started anew: nobody asks the guard
        yes = bool(allows(number, event))
        if code >> 3:
            answers.append((number - 1, yes))
        return yes

    engine.allows = told
