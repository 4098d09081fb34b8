"""A value that play builds up, collected at a lit shot."""

from firmware.play.feature import Feature
from firmware.play.memory import BALL


class BuiltValue:
    """Starts at `start`, grows by `step` up to `cap`, goes back to `start` when collected.

        class Jar(Feature):
            name = "jar"
            chart = (
                ("on", "bumper", None, "build"),
                ("on", "made.ramp", None, "collect"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("collected")
                self._jar = BuiltValue(self, start=30_000, step=2_000, cap=300_000)

            def build(self, event): self._jar.grow()
            def collect(self, event): self._award.pay(self._jar.collect())

    `span` says how long it is kept: BALL, unless another is given.
    """

    def __init__(
        self, feature: Feature, start: int, step: int, cap: int, span: int = BALL, what: str = "value"
    ) -> None:
        self.step = step
        self.cap = cap
        self._value = feature.value(what, start, span)

    def grow(self, by: int = -1) -> None:
        """Add a step, or `by`, up to the cap."""
        self._value.value = min(self._value.value + (self.step if by < 0 else by), self.cap)

    def raise_to(self, floor: int) -> None:
        """At least `floor`."""
        self._value.value = max(self._value.value, floor)

    def collect(self) -> int:
        """What it is worth; it starts again."""
        n = self._value.value
        self._value.value = self._value.start
        return n

    def worth(self) -> int:
        """What it is worth now."""
        return self._value.value
