"""A lock: balls held in a hole for a multiball; each player has to light it."""

from firmware.play.feature import Feature
from firmware.play.memory import PLAYER


class BallLock:
    """Whether this player may lock, and how many locks count for this player.

        self.lock = BallLock(self, hole="hive", wanted=2)
        if self.lock.may_hold(): self.lock.hold()   # the ball stays, a new one is served
        else: self.lock.count()                     # given back, but counted for this player

    Held balls are the machine's; `counted` ones and the lit lock are the player's.
    """

    _hole: "BallHole"
    _trough: "BallTrough"

    def __init__(self, feature: Feature, hole: str, wanted: int) -> None:
        self.wanted = wanted
        self._play = feature.play
        self._hole_name = hole
        self._lit = feature.value("lit", 0, PLAYER)
        self._counted = feature.value("counted", 0, PLAYER)

    def bind(self) -> None:
        """Set-up is over."""
        self._hole = self._play.find(self._hole_name)
        self._trough = self._play.find("trough")

    def is_lit(self) -> bool:
        """Whether this player may lock a ball."""
        return bool(self._lit.value)

    def light(self) -> None:
        """Allow this player to lock, until enough balls are held."""
        self._lit.value = 1

    def held(self) -> int:
        """Balls the machine holds."""
        return int(self._hole.locked)

    def counts(self) -> int:
        """Balls that count as held for this player."""
        return self.held() + self._counted.value

    def may_hold(self) -> bool:
        """Whether there is room for the ball and another to serve for it."""
        return self.held() < self.wanted and self._trough.balls_home > 0

    def hold(self) -> None:
        """Hold the ball that just came, serve another by the auto plunger."""
        self._hole.lock()
        self._trough.serve(True)
        self._douse_when_full()

    def count(self) -> None:
        """The ball is ejected but counts as held for this player."""
        self._counted.value += 1
        self._douse_when_full()

    def release(self) -> int:
        """Eject every held ball; returns how many."""
        balls = self.held()
        self._hole.unlock(balls)
        self._hole.hold(0)
        self._lit.value = 0
        self._counted.value = 0
        return balls

    def _douse_when_full(self) -> None:
        if self.counts() >= self.wanted:
            self._lit.value = 0


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import BallHole, BallTrough
