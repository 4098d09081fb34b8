"""An orbit: its switch counts once; a second closure within a time is the ball going round."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Orbit(Feature):
    """Raises `made_event` at the first closure. The chart gives the switch and the time.

        class LeftOrbit(Orbit):
            name = "left_orbit"
            made_event = "made.orbit.left"
            chart = (
                ("quiet", "orbit.left", "heard", "make"),
                ("heard", after(1500), "quiet"),
            )

    A second closure within 1,500 ms is here the same ball going round.
    """

    span = PERSISTENT
    made_event = ""

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._made = self.event(self.made_event)

    def make(self, event: int) -> None:
        """The orbit was shot."""
        self._made.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
