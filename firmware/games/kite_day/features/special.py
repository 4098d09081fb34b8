"""6. Special: lit by the breeze lanes, won at an outlane."""

from firmware.parts.special import Special as SetSpecial
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class OutlaneSpecial(Feature):
    """The breeze lanes completed at treble string light the special at both outlanes, once a ball."""

    name = "outlane_special"
    span = BALL
    chart = (
        ("dark", "special.light", "lit", "light"),
        ("lit", "outlane", "used", "win"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lamp = self.lamp("special")
        self._win = self.event("special.win")
        self._cue = self.cue("lit")

    def show(self) -> None:
        """Set the insert."""
        self._lamp.set(ON if self.is_in("lit") else NONE)

    def light(self, event: int) -> None:
        """It is lit."""
        self._cue.play()

    def win(self, event: int) -> None:
        """A ball in either outlane wins it."""
        self._win.raise_()


class Special(SetSpecial):
    """A special is 40,000 points, a credit or an extra ball, as is set."""

    name = "special"
    worth = 40_000
    chart = SetSpecial.chart


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
