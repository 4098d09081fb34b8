"""A combo over three different shots."""

from firmware.charts.model import ANY
from firmware.parts.combo import Combo
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Chain(Feature):
    """Different shots, each within 4 seconds of the one before: 5,000, 10,000 and so on."""

    name = "chain"
    span = BALL
    chart = (
        (ANY, "bench.left", None, "left"),
        (ANY, "bench.right", None, "right"),
        (ANY, "saw", None, "saw"),
        (ANY, "chain.expired", None, "end"),
        ("open", "ball.ended", None, "end"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._combo = Combo(self, base=5_000, step=5_000, cap=50_000, seconds=4, insert="combo")
        self._award = self.award("shot")

    def left(self, event: int) -> None:
        """The left bench lane was shot."""
        self._award.pay(self._combo.hit(0))

    def right(self, event: int) -> None:
        """The right bench lane was shot."""
        self._award.pay(self._combo.hit(1))

    def saw(self, event: int) -> None:
        """The saw was shot."""
        self._award.pay(self._combo.hit(2))

    def end(self, event: int) -> None:
        """Time is up, or the ball is over."""
        self._combo.end()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
