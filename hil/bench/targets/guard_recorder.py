"""Records what guards answer while a game runs in this process; the trace and the boards do not carry it."""

from collections.abc import Callable
from typing import Protocol, cast

from firmware.charts.engine import Engine
from firmware.charts.table import DUE
from firmware.console import Console
from firmware.play.interfaces import PackedCharts
from hil.game_tables import GameModule

Answer = tuple[int, bool]
"""The number of a chart row, and what its guard returned when the row was a candidate."""


class GuardRecorder(Console):
    """A console that appends to `answers` what every guard returns, in order, and to `asked_ms` when."""

    answers: list[Answer]
    asked_ms: list[int]

    def _build(self, game: GameModule, packed: PackedCharts | None) -> None:
        super()._build(game, packed)
        self.answers = []
        self.asked_ms = []
        record_guards(self.engine, self.answers, lambda: self.asked_ms.append(int(self.now)))


class OpenEngine(Protocol):
    """The members of an Engine that `record_guards` replaces or calls; Engine itself keeps them closed."""

    allows: Callable[[int, int, int, int], object]

    def _timer_restarted(self, row: int, event: int) -> bool:
        """Whether the timer behind a timed row was restarted since it came due."""


def record_guards(engine: Engine, answers: list[Answer], each: Callable[[], None] = lambda: None) -> None:
    """Replace `engine.allows`, which calls the guards, by one that also appends their answers.

    `each` is called with every answer.
    """
    opened = cast(OpenEngine, engine)
    allows = opened.allows

    def recorded(row: int, region: int, guard: int, event: int) -> bool:
        if guard & DUE and opened._timer_restarted(row, event):
            return False  # the timer was restarted, so the engine does not call the guard
        answer = bool(allows(row, region, guard, event))
        if guard >> 3:
            answers.append((row - 1, answer))
            each()
        return answer

    opened.allows = recorded
