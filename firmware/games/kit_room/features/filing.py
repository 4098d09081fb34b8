"""A sequence that repeats one shot: vice, vice, anvil."""

from firmware.charts.model import ANY
from firmware.parts.sequence import Sequence
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Filing(Feature):
    """The vice twice and then the anvil, each within 6 seconds, pay 50,000."""

    name = "filing"
    span = BALL
    chart = (
        (ANY, "vice", None, "vice"),
        (ANY, "anvil", None, "anvil"),
        (ANY, "filing.expired", None, "restart"),
        ("open", "ball.ended", None, "restart"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._steps = Sequence(self, ("vice", "vice", "anvil"), seconds=6, insert="filing")
        self._award = self.award("done", 50_000)

    def vice(self, event: int) -> None:
        """The vice was hit."""
        self._shot("vice")

    def anvil(self, event: int) -> None:
        """The anvil was hit."""
        self._shot("anvil")

    def restart(self, event: int) -> None:
        """Time is up, or the ball is over: from the first step again."""
        self._steps.restart()

    def _shot(self, shot: str) -> None:
        if self._steps.hit(shot) and self._steps.is_done():
            self.news(b"FILED", self._award.pay())
            self._steps.restart()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
