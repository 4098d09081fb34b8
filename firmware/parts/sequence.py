"""An ordered sequence: shots one after another, each within a time of the one before."""

from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Sequence:
    """Which shot is next; repeat shots of one target are steps like any other.

        class Dance(Feature):
            name = "dance"
            chart = (
                ("on", "made.orbit.left", None, "orbit"),
                ("on", "made.ramp", None, "ramp"),
                ("on", "dance.expired", None, "late"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("done", 30_000)
                self._dance = Sequence(self, ("orbit", "ramp", "ramp"), seconds=12, insert="lit")

            def orbit(self, event): self._step("orbit")
            def ramp(self, event): self._step("ramp")
            def late(self, event): self._dance.restart()

            def _step(self, shot):
                if self._dance.hit(shot) and self._dance.is_done():
                    self._award.pay()
                    self._dance.restart()

    The first step has no limit.
    """

    def __init__(
        self,
        feature: Feature,
        steps: "tuple[str, ...]",
        seconds: int,
        insert: "LampName | NoName" = "",
        flasher: "CoilName | NoName" = "",
        span: int = BALL,
    ) -> None:
        self.steps = steps
        self._at = feature.value("step", 0, span)
        self.window = Window(feature, seconds, insert, flasher)

    def step(self) -> int:
        """How many steps are made."""
        return self._at.value

    def is_next(self, shot: str) -> bool:
        """Whether `shot` is the next step."""
        return self._at.value < len(self.steps) and self.steps[self._at.value] == shot

    def hit(self, shot: str) -> bool:
        """A shot was made; whether it was the next step. A shot out of order changes nothing."""
        if not self.is_next(shot):
            return False
        self._at.value += 1
        if self._at.value < len(self.steps):
            self.window.open()
        else:
            self.window.close()
        return True

    def is_done(self) -> bool:
        """Whether every step is made."""
        return self._at.value == len(self.steps)

    def restart(self) -> None:
        """From the first step again."""
        self._at.value = 0
        self.window.close()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, LampName, NoName
