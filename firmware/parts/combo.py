"""A combo: different shots, each within a time of the one before, each worth more."""

from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Combo:
    """A chain of different shots, each within a time of the one before: `hit(shot)` gives what a shot pays.

        class Chain(Feature):
            name = "chain"
            chart = (
                ("on", "made.ramp", None, "ramp"),
                ("on", "made.orbit.left", None, "orbit"),
                ("on", "chain.expired", None, "over"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("made")
                self._chain = Combo(self, base=5_000, step=5_000, cap=50_000, seconds=4, insert="lit")

            def ramp(self, event): self._award.pay(self._chain.hit(0))
            def orbit(self, event): self._award.pay(self._chain.hit(1))
            def over(self, event): self._chain.end()

    Shots are small numbers 0 … 15; the first shot of a chain pays nothing, a shot twice starts a new chain.
    """

    def __init__(
        self, feature: Feature, base: int, step: int, cap: int, seconds: int, insert: "LampName | NoName" = ""
    ) -> None:
        self._base = base
        self._step = step
        self._cap = cap
        self._made = feature.value("made", 0, BALL)
        self._length = feature.value("length", 0, BALL)
        self.window = Window(feature, seconds, insert)

    def length(self) -> int:
        """Shots in the present chain."""
        return self._length.value

    def hit(self, shot: int) -> int:
        """A shot was made; what it pays."""
        if self._made.value >> shot & 1:
            self.end()
        self._made.value |= 1 << shot
        self._length.value += 1
        self.window.open()
        if self._length.value == 1:
            return 0
        return min(self._base + (self._length.value - 2) * self._step, self._cap)

    def end(self) -> None:
        """The chain is over."""
        self._made.value = 0
        self._length.value = 0
        self.window.close()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import LampName, NoName
