"""10. Waggle Dance: three shots in order win the jar."""

from firmware.charts.model import ANY
from firmware.parts.window import Window
from firmware.play.claims import FAST, NONE, ON, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class WaggleDance(Feature):
    """After the bee lanes: left orbit, right ramp, right orbit, each in 12 seconds, for the Honey Jar."""

    name = "waggle"
    span = BALL
    chart = (
        ("idle", "bees.done", "ready", None),
        ("ready", "made.orbit.left", "ramp", "first"),
        ("ramp", "made.orbit.left", None, "again"),
        ("ramp", "made.ramp.right", "orbit", "second"),
        ("orbit", "made.orbit.right", "idle", "third"),
        ("ramp", "waggle.expired", "ready", None),
        ("orbit", "waggle.expired", "ready", None),
        (ANY, "ball.ended ball.abandoned", "idle", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._window = Window(self, seconds=12, insert="waggle", flasher="flash.hive")
        self._first = self.award("first", 10_000)
        self._second = self.award("second", 20_000)
        self._jar = self.event("jar.win")
        self._offers = (
            self.offer("made.orbit.left"),
            self.offer("made.ramp.right"),
            self.offer("made.orbit.right"),
        )
        self._lamps = (self.lamp("dance.1"), self.lamp("dance.2"), self.lamp("dance.3"))
        self._lamp = self.lamp("waggle")
        self._cue = self.cue("dance")

    def show(self) -> None:
        """Set the inserts and offers of the three steps."""
        step = 1 if self.is_in("ready") else 2 if self.is_in("ramp") else 3 if self.is_in("orbit") else 0
        self._lamp.set(SLOW if step == 1 else NONE)
        for i in range(3):
            self._offers[i].set(step == i + 1)
            self._lamps[i].set(ON if step > i + 1 else FAST if step == i + 1 else NONE)

    def report(self, page: "Page") -> bool:
        """Write which step is next."""
        page.title(0, b"WAGGLE DANCE")
        page.title(
            1, b"NEEDS BEES" if self.is_in("idle") else b"STEP 1" if self.is_in("ready") else b"DANCING"
        )
        return True

    def first(self, event: int) -> None:
        """The left orbit: pay the first step, start the time for the second."""
        self._cue.play()
        self.news(b"WAGGLE DANCE 1", self._first.pay())
        self._window.open()

    def again(self, event: int) -> None:
        """The left orbit once more: the time starts anew."""
        self._window.open()

    def second(self, event: int) -> None:
        """The right ramp: pay the second step, start the time for the third."""
        self._cue.play()
        self.news(b"WAGGLE DANCE 2", self._second.pay())
        self._window.open()

    def third(self, event: int) -> None:
        """The right orbit: win the Honey Jar."""
        self._window.close()
        self._jar.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
