"""A tunnel: a ball that enters at one device returns at another and is not free in between."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Tunnel(Feature):
    """Counts the balls under way; the chart gives the two ends and the time they may take."""

    span = PERSISTENT

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._balls = 0

    def enter(self, event: int) -> None:
        """A ball entered: it is not free."""
        self._balls += 1
        self.play.held += 1
        self.play.count_free()

    def is_last(self, event: int) -> bool:
        """Whether no other ball is under way."""
        return self._balls == 1

    def leave(self, event: int) -> None:
        """A ball came out."""
        self._lose(1)

    def lose(self, event: int) -> None:
        """Those under way are overdue."""
        self._lose(self._balls)

    def _lose(self, balls: int) -> None:
        self._balls -= balls
        self.play.held -= balls
        self.play.count_free()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
