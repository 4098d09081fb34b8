"""A graded plunge: landing switches of different worth, each worth more with each plunge of a game."""

from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class GradedPlunge:
    """What the first switch after a hand plunge pays; past every landing switch it pays nothing.

        self.plunge = GradedPlunge(self, ("land.1", "land.2"), worth=(3_000, 7_000), step=2_000, most=5)
        chart = (
            ("idle", "ball.ready", "waiting", "plunge", "by_hand"),
            ("waiting", "land", "idle", "land"),
            ("waiting", "playfield", "idle", None),          # over-plunged
        )
        def plunge(self, event): self.plunge.begin()
        def land(self, event): self.award.pay(self.plunge.land(event))

    The landing switches are consecutive rows of the wiring table. `step` points are added with each plunge of
    a player's game after the first, up to plunge number `most`.
    """

    def __init__(
        self, feature: Feature, switches: "tuple[str, ...]", worth: "tuple[int, ...]", step: int, most: int
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
        return self._worth[event - self._first] + self._step * (self._plunges.value - 1)
