"""Consolation: something is lit for a player whose game was short and poor."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Consolation(Feature):
    """Raises `lights` when a player's last ball starts below the set score (0: never).

        class OurConsolation(Consolation):
            name = "consolation"
            lights = "extra_ball.light"
            chart = Consolation.chart

    Needs the setting `consolation`, the score below which it helps.
    """

    name = "consolation"
    span = PERSISTENT
    lights: "HeardEvent | NoName" = ""
    chart = (("on", "ball.started", None, "console", "poor"),)
    _flow: "GameFlow"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._below = play.settings.get("consolation")
        self._light = self.event(self.lights)

    def bind(self) -> None:
        """Set-up is over: find the flow of the game."""
        super().bind()
        self._flow = self.play.find("game")

    def poor(self, event: int) -> bool:
        """Whether this is the player's last ball and the score is below the setting."""
        score = self.play.score
        return bool(self._flow.last_ball() and score.scores[score.player] < self._below.value)

    def console(self, event: int) -> None:
        """Raise `lights`."""
        self._light.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import GameFlow
    from firmware.play.name_types import HeardEvent, NoName
    from firmware.play.rule_context import RuleContext
