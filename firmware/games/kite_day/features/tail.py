"""2. Tail: four drop targets that pay more each time."""

from firmware.parts.drop_bank import DropBank
from firmware.play.claims import NONE, ON

LIGHTS_EXTRA_BALL = 2


class Tail(DropBank):
    """All four targets down pay 4,000, 8,000, then 16,000; the second time lights the extra ball."""

    name = "tail"
    switches = ("tail.1", "tail.2", "tail.3", "tail.4")
    reset_coil = "tail_reset"
    pays = (4_000, 8_000, 16_000)
    chart = DropBank.rows("tail")

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._worth = [self.lamp(name) for name in ("worth.1", "worth.2", "worth.3")]
        self._thermals = self.lamp("thermals")
        self._extra_ball = self.event("extra_ball.light")
        self._cue = self.cue("tail")

    def show(self) -> None:
        """Set the insert of what the next completion pays, and the thermals'."""
        next_pay = min(self.completions(), len(self.pays) - 1)
        for n in range(len(self._worth)):
            self._worth[n].set(ON if n == next_pay and self.play.live else NONE)
        self._thermals.set(ON if self.completions() else NONE)

    def completed(self) -> None:
        """The chimes, and the second time the extra ball."""
        self._cue.play()
        if self.completions() == LIGHTS_EXTRA_BALL:
            self._extra_ball.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
