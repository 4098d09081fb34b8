"""A graded plunge: landing switches of different worth, each worth more with each plunge of a game."""

from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class GradedPlunge:
    """What the first switch after a hand plunge pays; past every landing switch it pays nothing.

        self.plunge = GradedPlunge(self, ("land.1", "land.2"), worth=(3_000, 7_000), most=5, step=2_000)
        chart = (
            ("idle", "ball.ready", "waiting", "plunge", "by_hand"),
            ("waiting", "land", "idle", "land"),
            ("waiting", "playfield", "idle", None),          # over-plunged
        )
        def plunge(self, event): self.plunge.begin()
        def land(self, event): self.award.pay(self.plunge.land(event))

    The landing switches are consecutive rows of the wiring table. Each plunge of a player's game pays `step`
    points more than the one before, up to number `most`; without a step it pays the worth times its number.
    """

    def __init__(
        self,
        feature: Feature,
        switches: "tuple[str, ...]",
        worth: "tuple[int, ...]",
        most: int,
        step: int = 0,
    ) -> None:
        self._first = feature.play.switch(switches[0], feature.name)
        self._worth = worth
        self._step = step
        self._most = most
        self._plunges = feature.value("plunges", 0, PLAYER)

    def number(self) -> int:
        """The number of this plunge in the player's game, `most` at most; 0 before the first."""
        return self._plunges.value

    def begin(self) -> None:
        """A ball is there to be plunged by hand: it is the next plunge."""
        self._plunges.value = min(self._plunges.value + 1, self._most)

    def land(self, event: int) -> int:
        """What the landing switch pays."""
        worth, number = self._worth[event - self._first], self._plunges.value
        return worth + self._step * (number - 1) if self._step else worth * number
