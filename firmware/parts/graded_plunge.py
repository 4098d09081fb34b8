"""A graded plunge: landing switches of different worth, each worth more with each plunge of a game."""

from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class GradedPlunge:
    """What the first switch after a hand plunge pays; past every landing switch it pays nothing.

        class Plunge(Feature):
            name = "plunge"
            chart = (
                ("idle", "ball.ready", "waiting", "plunge"),
                ("waiting", "top", "idle", "land"),
                ("waiting", "playfield", "idle", None),     # past them all
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("landed")
                lanes = ("top.1", "top.2")
                self._plunge = GradedPlunge(self, lanes, worth=(3_000, 7_000), most=5, step=2_000)

            def plunge(self, event): self._plunge.begin()
            def land(self, event): self._award.pay(self._plunge.land(event))

    The landing switches are consecutive rows of the wiring table. Each plunge of a player's game pays `step`
    points more than the one before, up to number `most`; without a step it pays the worth times its number.
    """

    def __init__(
        self,
        feature: Feature,
        switches: "tuple[SwitchName, ...]",
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


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import SwitchName
