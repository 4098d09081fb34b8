"""Replays: an award at each of two scores."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT, PLAYER


class Replay(Feature):
    """Reaching a replay score pays a special, each score once a player a game.

    One that the end-of-ball bonus reaches is paid in the same turn: the flow of the game asks `is_due` when
    the bonus is counted, and calls `reach`.
    """

    name = "replay"
    span = PERSISTENT
    chart = (("on", "replay.reached", None, "pay"),)

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._levels = (play.settings.get("replay_1"), play.settings.get("replay_2"))
        self._given = self.value("given", 0, PLAYER)  # bit n: level n
        self._reached = self.event("replay.reached")
        self._special = self.event("special.win")
        play.score_listeners.append(self._watch)

    def is_due(self) -> bool:
        """Whether the player up has reached a replay score that was not paid yet."""
        return self.play.score.live and self._due() >= 0

    def reach(self) -> None:
        """Post `replay.reached` for the first replay that is due."""
        self._given.value |= 1 << self._due()
        self._reached.post()
        self.play.score.paid = True  # one payment may reach both

    def pay(self, event: int) -> None:
        """A replay score was reached: win a special."""
        self.news(b"REPLAY", 0)
        self._special.raise_()

    def _watch(self) -> None:
        if self.is_due():
            self.reach()

    def _due(self) -> int:
        score = self.play.score
        points = score.scores[score.player]
        for at in range(len(self._levels)):
            if not self._given.value >> at & 1 and 0 < self._levels[at].value <= points:
                return at
        return -1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
