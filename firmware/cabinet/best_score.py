"""The best score so far, for machines that take no letters."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class BestScore(Feature):
    """Beating the best score at the end of a game wins the credits that are set.

    `first` is the score to beat before anybody has played.
    """

    name = "best_score"
    span = PERSISTENT
    first = 100_000
    chart = (("on", "game.over", None, "compare", "played"),)

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.best = self.value("best", self.first, PERSISTENT)
        self._prize = play.settings.get("best_credits")
        self._cue = self.cue("best_score")

    def bind(self) -> None:
        """Set-up is over: find the credits."""
        super().bind()
        self._credits = self.play.find("credits")

    def played(self, event: int) -> bool:
        """Whether the game came to its end; one that was slammed has no players left."""
        return bool(self.play.engine.value)

    def compare(self, event: int) -> None:
        """Give the credits once, to whoever is best now."""
        best = max(self.play.score.scores)
        if best > self.best.value:
            self.best.value = best
            self._cue.play()
            for _ in range(self._prize.value):
                self._credits.give()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
