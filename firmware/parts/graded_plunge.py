"""A graded plunge: landing switches of different worth, a factor that grows with each plunge."""

from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class GradedPlunge:
    """What the first switch after a hand plunge pays; past every landing switch it pays nothing.

        self.plunge = GradedPlunge(self, ("land.1", "land.2"), worth=(5_000, 20_000), most=5)
        chart = (
            ("idle", "ball.ready", "waiting", "plunge", "by_hand"),
            ("waiting", "land", "idle", "land"),
            ("waiting", "playfield", "idle", None),          # over-plunged
        )
        def plunge(self, event): self.plunge.begin()
        def land(self, event): self.award.pay(self.plunge.land(event))

    The landing switches are consecutive rows of the wiring table.
    """

    def __init__(
        self, feature: Feature, switches: "tuple[str, ...]", worth: "tuple[int, ...]", most: int
    ) -> None:
        self._first = feature.play.switch(switches[0], feature.name)
        self._worth = worth
        self._most = most
        self._plunges = feature.value("plunges", 0, PLAYER)

    def factor(self) -> int:
        """The present factor."""
        return self._plunges.value

    def begin(self) -> None:
        """A ball is there to be plunged by hand: the factor grows, up to its cap."""
        self._plunges.value = min(self._plunges.value + 1, self._most)

    def land(self, event: int) -> int:
        """What the landing switch pays."""
        return self._worth[event - self._first] * self._plunges.value
