"""A graded plunge: the further the ball lands, the more it pays."""

from firmware.cabinet.shooter import FRESH
from firmware.parts.graded_plunge import GradedPlunge
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Plunge(Feature):
    """Land on one of three switches for 5,000, 10,000 or 20,000 times the number of plunges, at most 3."""

    name = "plunge"
    span = BALL
    chart = (
        ("idle", "ball.ready", "waiting", "begin", "by_hand"),
        ("waiting", "land", "idle", "land"),
        ("waiting", "playfield", "idle", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._plunge = GradedPlunge(self, ("land.1", "land.2", "land.3"), (5_000, 10_000, 20_000), most=3)
        self._award = self.award("landed")

    def by_hand(self, event: int) -> bool:
        """Whether the ball waits for a plunge by hand."""
        return bool(self.play.engine.value == FRESH)

    def begin(self, event: int) -> None:
        """A ball waits: the factor grows."""
        self._plunge.begin()

    def land(self, event: int) -> None:
        """Pay the landing switch times the factor."""
        self.news(b"LANDED", self._award.pay(self._plunge.land(event)))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
