"""A ladder: values climbed one shot at a time, each rung after the first within a time."""

from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class Ladder:
    """Which rung is next, what it pays, how long the rung after it stays open.

        class Climb(Feature):
            name = "climb"
            span = PLAYER
            chart = (
                ("dark", "standup", "lit", None),
                ("lit", "made.ramp", "timed", "rung", "not at_top"),
                ("timed", "made.ramp", None, "rung", "not at_top"),
                ("timed", "made.ramp", "dark", "top", "at_top"),
                ("timed", "climb.expired", "lit", "fall"),
                ("timed", "ball.ended ball.abandoned", "lit", None),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("rung")
                self._window = Window(self, insert="lit")
                worth = (15_000, 40_000, 90_000)
                self._rungs = Ladder(self, worth, windows=(18_000, 9_000), hard=(12_000, 6_000))

            def at_top(self, event): return self._rungs.at_top()
            def fall(self, event): self._rungs.fall()

            def rung(self, event):
                self._award.pay(self._rungs.climb())
                self._window.open_for(self._rungs.window())

            def top(self, event):
                self._award.pay(self._rungs.climb())
                self._window.close()

    `windows`: ms for the rungs between the first and the last, and for the last. Once topped, `hard`
    replaces it for the rest of the player's game.
    """

    def __init__(
        self, feature: Feature, worth: "tuple[int, ...]", windows: "tuple[int, int]", hard: "tuple[int, int]"
    ) -> None:
        self.worth = worth
        self._windows = windows
        self._hard = hard
        self._next = feature.value("next", 1, PLAYER)
        self._topped = feature.value("topped", 0, PLAYER)

    def next(self) -> int:
        """The rung (1 …) that the next shot pays."""
        return self._next.value

    def has_topped(self) -> bool:
        """Whether this player has reached the top in this game."""
        return bool(self._topped.value)

    def at_top(self) -> bool:
        """Whether the next shot pays the last rung."""
        return self._next.value == len(self.worth)

    def climb(self) -> int:
        """Take the next rung; what it pays. The last one starts the ladder again, harder."""
        points = self.worth[self._next.value - 1]
        if self.at_top():
            self._next.value = 1
            self._topped.value = 1
        else:
            self._next.value += 1
        return points

    def fall(self) -> None:
        """Late: one rung down, not below the first."""
        self._next.value = max(1, self._next.value - 1)

    def window(self) -> int:
        """Milliseconds for the next rung."""
        windows = self._hard if self._topped.value else self._windows
        return windows[1] if self.at_top() else windows[0]
