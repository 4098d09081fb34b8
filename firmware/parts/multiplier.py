"""A bonus multiplier with its inserts: 1× to a top, lasting the game or one ball."""

from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class Multiplier:
    """`times()` from 1 to `top`; insert `times.N` is lit for the present one.

        class Times(Feature):
            name = "times"
            chart = (
                ("on", "standup", None, "grow"),
                ("on", "game.over", None, "reset"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._times = Multiplier(self, top=4)
                self._grown = self.event("multiplier.grown")

            def show(self): self._times.show()
            def reset(self, event): self._times.reset()

            def grow(self, event):
                self._times.grow()
                self._grown.raise_(self._times.times())

    It lasts the player's game, unless `reset` is called at the end of a ball.
    """

    def __init__(self, feature: Feature, top: int) -> None:
        self.top = top
        self._n = feature.value("times", 1, PLAYER)
        self._lamps = [feature.lamp("times." + str(n)) for n in range(2, top + 1)]

    def times(self) -> int:
        """The present multiplier."""
        return self._n.value

    def at_top(self) -> bool:
        """Whether it can grow no more."""
        return self._n.value == self.top

    def grow(self) -> None:
        """One more, up to the top."""
        self._n.value = min(self._n.value + 1, self.top)

    def reset(self) -> None:
        """Back to 1×."""
        self._n.value = 1

    def show(self) -> None:
        """Set the inserts."""
        for i in range(len(self._lamps)):
            self._lamps[i].set(ON if self._n.value == i + 2 else NONE)
