"""A bonus of units that is counted down when the ball ends, each unit paid by itself."""

from firmware.parts.multiplier import Multiplier
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class CountedBonus(Feature):
    """Units collected in play; each pays `per_unit` times the multiplier when the ball ends without a tilt.

    class String(CountedBonus):
        name = "string"
        per_unit = 1_000
        most = 30
        lamps = (("string.1", 10), ("string.2", 20))       # lit from so many units on
        chart = (
            ("play", "breeze tail", None, "count_unit"),
            ("play", "ball.ended", "counting", "begin"),
            ("counting", "bonus.step", None, "step"),
            ("counting", "bonus.counted", "counted", None),
        )

    `bonus.counted` comes a step (`step_ms`) after the last unit: what that wins is won in this turn.
    """

    span = BALL
    per_unit = 1000
    most = 20
    step_ms = 150
    lamps: "tuple[tuple[str, int], ...]" = ()

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.units = self.value("units", 0, BALL)
        self.multiplier: Multiplier | None = None
        self._paid = self.award("paid", exempt=True)
        self._counted = self.event("bonus.counted")
        self._step_event = self.event("bonus.step")
        self._clock = self.clock(self._step_event.post)
        self._lamps = [(self.lamp(name), least) for name, least in self.lamps]
        self._cue = self.cue("bonus")

    def show(self) -> None:
        """Set the inserts."""
        for lamp, least in self._lamps:
            lamp.set(ON if self.units.value >= least else NONE)

    def count_unit(self, event: int) -> None:
        """One more, up to `most`."""
        self.units.value = min(self.units.value + 1, self.most)

    def begin(self, event: int) -> None:
        """The ball ended: start the count; a tilt loses every unit."""
        if self.play.tilted:
            self.units.value = 0
        self._go_on()

    def step(self, event: int) -> None:
        """Pay one unit."""
        if self.units.value:
            self.units.value -= 1
            self._cue.play()
            self._paid.pay(self.per_unit * (self.multiplier.times() if self.multiplier else 1))
            self._clock.start(self.step_ms)
        else:
            self._counted.raise_()

    def _go_on(self) -> None:
        if self.units.value:
            self._clock.start(self.step_ms)
        else:
            self._counted.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
