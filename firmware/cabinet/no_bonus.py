"""The end of a ball in a game without an end-of-ball bonus."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class NoBonus(Feature):
    """Stands in a game's FEATURES where others have a bonus: a ball that ended has nothing to count."""

    name = "no_bonus"
    span = PERSISTENT
    chart = (("on", "ball.ended", None, "pass_on"),)

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._counted = self.event("bonus.counted")

    def pass_on(self, event: int) -> None:
        """Raise `bonus.counted` at once."""
        self._counted.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
