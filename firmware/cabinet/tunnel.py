"""A tunnel: a ball that enters at one device returns at another and is not free in between."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Tunnel(Feature):
    """Counts the balls under way; the chart gives the two ends and the time it may take."""

    span = PERSISTENT

    def enter(self, event: int) -> None:
        """A ball entered: it is not free."""
        self.play.held += 1
        self.play.count_free()

    def leave(self, event: int) -> None:
        """The ball came out, or is overdue."""
        self.play.held -= 1
        self.play.count_free()
