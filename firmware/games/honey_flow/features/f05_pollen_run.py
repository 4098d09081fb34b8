"""5. Pollen Run: a value built up in the meadow, collected at the right orbit."""

from firmware.charts.model import ANY
from firmware.parts.built_value import BuiltValue
from firmware.parts.window import Window
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class PollenRun(Feature):
    """The left inlane lights the right orbit; made in time, it pays what the bumpers have built up."""

    name = "pollen_run"
    span = BALL
    chart = (
        ("dark", "inlane.left", "lit", "open"),
        ("lit", "inlane.left", None, "open"),
        ("lit", "made.orbit.right", "dark", "collect"),
        ("lit", "pollen_run.expired ball.ended ball.abandoned tilted", "dark", None),
        (ANY, "meadow", None, "build"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._run = Window(self, seconds=14, insert="pollen", flasher="flash.jar")
        self._pollen = BuiltValue(self, start=30_000, step=2_000, cap=300_000)
        self._award = self.award("collected")
        self._offer = self.offer("made.orbit.right")
        self._cue = self.cue("pollen")
        self._meadow = (self.lamp("meadow.1"), self.lamp("meadow.2"), self.lamp("meadow.3"))

    def show(self) -> None:
        """Set the bumpers' inserts and the offer at the right orbit."""
        lit = self.is_in("lit")
        self._offer.set(lit)
        for lamp in self._meadow:
            lamp.set(ON if lit else NONE)

    def report(self, page: "Page") -> bool:
        """Write what the run is worth."""
        page.title(0, b"POLLEN RUN")
        page.clear(1)
        page.number(1, 11, self._pollen.worth())
        return True

    def open(self, event: int) -> None:
        """The left inlane starts the run, or starts it anew."""
        self._run.open()

    def build(self, event: int) -> None:
        """A bumper adds to the value."""
        self._pollen.grow()

    def collect(self, event: int) -> None:
        """The right orbit pays the value."""
        self._run.close()
        self._cue.play()
        self.news(b"POLLEN RUN", self._award.pay(self._pollen.collect()))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.pages import Page
    from firmware.play.rule_context import RuleContext
