"""A ball lock: a hole holds balls for a multiball; each player has to light the lock first."""

from firmware.play.feature import Feature
from firmware.play.memory import GAME, PLAYER


class BallLock:
    """Whether this player may lock a ball, and how many locked balls count for this player.

        class VaultLock(Feature):
            name = "vault_lock"
            span = PLAYER
            chart = (
                ("on", "bank", None, "light"),
                ("on", "made.vault", None, "hold", "may_hold"),
                ("on", "made.vault", None, "count", "may_count"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._lock = BallLock(self, hole="vault", wanted=2)
                self._lamp = self.lamp("lock")

            def bind(self):
                super().bind()
                self._lock.bind()

            def show(self): self._lamp.set(SLOW if self._lock.is_lit() else NONE)
            def may_hold(self, event): return self._lock.is_lit() and self._lock.may_hold()
            def may_count(self, event): return self._lock.is_lit() and not self._lock.may_hold()
            def light(self, event): self._lock.light()
            def hold(self, event): self._lock.hold()  # the ball stays, another is served
            def count(self, event): self._lock.count_ejected()  # the hole ejects it, but it counts

    Held balls are shared by all players. Each player's own are: `counted`, the balls that were ejected but
    count; `own`, the held balls that this player locked; whether the lock is lit. `wanted` fill the lock.
    `release` ejects them all, for a multiball.
    """

    _hole: "BallHole"
    _trough: "BallTrough"

    def __init__(self, feature: Feature, hole: "FeatureName", wanted: int) -> None:
        self.wanted = wanted
        self._play = feature.play
        self._hole_name = hole
        self._lit = feature.value("lit", 0, PLAYER)
        self._counted = feature.value("counted", 0, PLAYER)
        self._own = feature.value("own", 0, PLAYER)
        self._own_since = feature.value("own_since", 0, PLAYER)  # `releases` when `own` was last counted
        self._releases = feature.value("releases", 0, GAME)

    def bind(self) -> None:
        """Find the hole and the trough, once every feature exists."""
        self._hole = self._play.find(self._hole_name)
        self._trough = self._play.find("trough")

    def is_lit(self) -> bool:
        """Whether this player may lock a ball."""
        return bool(self._lit.value)

    def light(self) -> None:
        """Light the lock for this player, until `wanted` balls count."""
        self._lit.value = 1

    def held(self) -> int:
        """How many balls the hole holds, whoever locked them."""
        return int(self._hole.locked)

    def locked_count(self) -> int:
        """How many balls count as locked for this player: the held ones and the player's ejected ones."""
        return self.held() + self._counted.value

    def own(self) -> int:
        """How many balls this player locked since the hole was emptied, those that were ejected too."""
        held = self._own.value if self._own_since.value == self._releases.value else 0
        return min(held, self.held()) + self._counted.value

    def may_hold(self) -> bool:
        """Whether the hole may keep this ball: fewer than `wanted` are held, and the trough has another."""
        return self.held() < self.wanted and self._trough.balls_home > 0

    def hold(self) -> None:
        """Keep the ball that just entered, and serve another with the auto plunger."""
        if self._own_since.value != self._releases.value:
            self._own_since.value = self._releases.value
            self._own.value = 0
        self._own.value += 1
        self._hole.lock()
        self._trough.serve(True)
        self._unlight_when_full()

    def count_ejected(self) -> None:
        """Count a ball as locked for this player that the hole ejects."""
        self._counted.value += 1
        self._unlight_when_full()

    def release(self) -> int:
        """Eject every held ball, for the multiball, and unlight the lock; returns how many balls."""
        balls = self.held()
        self._hole.unlock(balls)
        self._hole.hold(0)
        self._releases.value += 1
        self._lit.value = 0
        self._counted.value = 0
        return balls

    def _unlight_when_full(self) -> None:
        if self.locked_count() >= self.wanted:
            self._lit.value = 0


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import BallHole, BallTrough
    from firmware.play.name_types import FeatureName
