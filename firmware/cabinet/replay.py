"""Replays: an award at each of two scores."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT, PLAYER


class Replay(Feature):
    """Reaching a replay score pays a special, each score once a player a game."""

    name = "replay"
    span = PERSISTENT
    chart = (("on", "replay.reached", None, "pay"),)

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._levels = (play.settings.get("replay_1"), play.settings.get("replay_2"))
        self._given = self.value("given", 0, PLAYER)
        self._reached = self.event("replay.reached")
        self._special = self.event("special.win")
        play.score_listeners.append(self._watch)

    def pay(self, event: int) -> None:
        """A replay score was reached: win a special."""
        self.news(b"REPLAY", 0)
        self._special.raise_()

    def _watch(self) -> None:
        score = self.play.score
        if not score.live or self._given.value >= len(self._levels):
            return
        level = self._levels[self._given.value].value
        if level and score.scores[score.player] >= level:
            self._given.value += 1
            self._reached.post()
            score.paid = True  # one payment may reach both


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
