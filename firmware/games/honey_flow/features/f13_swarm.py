"""13. Hive lock and Swarm: two balls held, then three in play."""

from firmware.charts.model import ANY
from firmware.games.honey_flow.shows import FLYING
from firmware.parts.ball_lock import BallLock
from firmware.parts.multiball import Multiball
from firmware.parts.show import Show
from firmware.play.claims import LOW, NONE, ON, RAPID, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER

WANTED = 2


class HiveLock(Feature):
    """With the lock lit the hive keeps the ball for 15,000; two held make the next serve a Swarm."""

    name = "hive_lock"
    span = PLAYER
    chart = (
        ("on", "lock.light", None, "light"),
        ("on", "made.hive", None, "hold", "may_hold"),
        ("on", "made.hive", None, "count", "may_count"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.lock = BallLock(self, hole="hive", wanted=WANTED)
        self._award = self.award("ball_held", 15_000)
        self._offer = self.offer("made.hive")
        self._lamp = self.lamp("lock")
        self._lamps = (self.lamp("lock.1"), self.lamp("lock.2"))
        self._cue = self.cue("lock")

    def bind(self) -> None:
        """Set-up is over: find the hive and the Swarm."""
        super().bind()
        self.lock.bind()
        self._swarm = self.play.find("swarm")

    def show(self) -> None:
        """Set the inserts and the offer at the hive."""
        self._offer.set(self.lock.is_lit() and self._swarm.is_in("idle"))
        self._lamp.set(SLOW if self.lock.is_lit() else NONE)
        for i in range(WANTED):
            self._lamps[i].set(ON if self.lock.own() > i else NONE)

    def report(self, page: "Page") -> bool:
        """Write how many balls the hive holds."""
        page.title(0, b"HIVE HOLDS")
        page.clear(1)
        page.number(1, 8, self.lock.held())
        return True

    def may_hold(self, event: int) -> bool:
        """Whether the ball in the hive stays there."""
        return self.lock.is_lit() and self._swarm.is_in("idle") and self.lock.may_hold()

    def may_count(self, event: int) -> bool:
        """Whether it counts as held but is ejected, since no other ball could be served."""
        return self.lock.is_lit() and self._swarm.is_in("idle") and not self.lock.may_hold()

    def light(self, event: int) -> None:
        """The frames light the lock."""
        self.lock.light()

    def hold(self, event: int) -> None:
        """Pay and hold the ball."""
        self._cue.play()
        self.news(b"BALL HELD", self._award.pay())
        self.lock.hold()

    def count(self, event: int) -> None:
        """Pay and count the ball; the hive ejects it."""
        self.news(b"BALL COUNTED", self._award.pay())
        self.lock.count_ejected()


class Swarm(Multiball):
    """Every ball at once: the first left ramp wins the Honey Jar, each later one 75,000."""

    name = "swarm"
    span = BALL
    save_seconds = 12
    chart = (
        ("idle", "ball.ready", "ready", None, "two_held"),
        ("ready", "playfield", "flying", "start"),
        ("flying", "made.ramp.left", None, "first", "not jar_won"),
        ("flying", "made.ramp.left", None, "later", "jar_won"),
        ("flying", "swarm_save.expired", None, None),
        ("flying", "ball.lost", "idle", ("say_over", "finish"), "one_left"),
        (ANY, "ball.ended ball.abandoned tilted", "idle", "finish"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._won = self.value("jar_won", 0, BALL)
        self._jar = self.event("jar.win")
        self._later = self.award("left_ramp", 75_000)
        self._offer = self.offer("made.ramp.left")
        self._lamp = self.lamp("swarm")
        self._cue = self.cue("swarm")
        self._over = self.cue("swarm_over")
        self._flight = Show(self, FLYING, LOW)

    def bind(self) -> None:
        """Set-up is over: find trough and lock."""
        super().bind()
        self._lock: HiveLock = self.play.find("hive_lock")

    def show(self) -> None:
        """Set the insert, the show and the offer at the left ramp."""
        self._offer.set(self.is_in("flying"))
        self._flight.keep(self.is_in("flying"))
        self._lamp.set(RAPID if self.is_in("flying") else SLOW if self.is_in("ready") else NONE)

    def two_held(self, event: int) -> bool:
        """Whether the balls held for this player are enough for a Swarm."""
        lock = self._lock.lock
        return bool(lock.held() and lock.locked_count() >= WANTED)

    def jar_won(self, event: int) -> bool:
        """Whether this Swarm has won the jar."""
        return bool(self._won.value)

    def start(self, event: int) -> None:
        """Release every held ball; the multiball begins."""
        self._won.value = 0
        self._lock.lock.release()
        self._lock.show()
        self.begin(event)
        self._cue.play()
        self.news(b"SWARM", 0)

    def first(self, event: int) -> None:
        """The first left ramp wins the jar."""
        self._won.value = 1
        self._jar.raise_()

    def later(self, event: int) -> None:
        """A later left ramp pays points."""
        self.news(b"SWARM RAMP", self._later.pay())

    def say_over(self, event: int) -> None:
        """Play the sound of the end."""
        self._over.play()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
