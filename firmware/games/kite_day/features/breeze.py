"""1. Breeze: three lanes at the top, and the multiplier of the string bonus."""

from firmware.parts.lights import Lights
from firmware.parts.multiplier import Multiplier
from firmware.play.feature import Feature
from firmware.play.memory import BALL

TOP = 3


class Breeze(Feature):
    """All three breeze lanes pay 3,000 and double, then treble the string; once more lights the special."""

    name = "breeze_lanes"
    span = BALL
    chart = (
        ("open", "breeze", None, "light", "not fills"),
        ("open", "breeze", None, "complete", "fills"),
        ("open", "ball.started", None, "calm"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lanes = Lights(self, ("breeze.1", "breeze.2", "breeze.3"))
        self.multiplier = Multiplier(self, top=TOP)
        self._award = self.award("complete", 3_000)
        self._special = self.event("special.light")
        self._cue = self.cue("breeze")

    def show(self) -> None:
        """Set the inserts of lanes and multiplier."""
        self._lanes.show()
        self.multiplier.show()

    def fills(self, event: int) -> bool:
        """Whether this lane completes the three."""
        return self._lanes.would_fill(self._lanes.place(event))

    def light(self, event: int) -> None:
        """Light the lane."""
        self._lanes.light(self._lanes.place(event))

    def complete(self, event: int) -> None:
        """All three: dark again, the multiplier grows, or the special is lit."""
        self._lanes.clear()
        self._award.pay()
        self._cue.play()
        if self.multiplier.at_top():
            self._special.raise_()
        self.multiplier.grow()

    def calm(self, event: int) -> None:
        """A new ball: the string bonus counts once."""
        self.multiplier.reset()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
