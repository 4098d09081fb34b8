"""A graded plunge: the further the ball lands, the more it pays."""

from firmware.cabinet.shooter import FRESH
from firmware.parts.graded_plunge import GradedPlunge
from firmware.play.feature import Feature
from firmware.play.memory import BALL

LANDINGS = ("land.1", "land.2", "land.3")
WORTH = (3_000, 7_000, 12_000)


class Plunge(Feature):
    """Land on one of three switches for 3,000, 7,000 or 12,000, and 2,000 more each time, up to the 4th."""

    name = "plunge"
    span = BALL
    chart = (
        ("idle", "ball.ready", "waiting", "begin", "by_hand"),
        ("waiting", "land", "idle", "land"),
        ("waiting", "playfield", "idle", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._plunge = GradedPlunge(self, LANDINGS, WORTH, most=4, step=2_000)
        self._award = self.award("landed")

    def by_hand(self, event: int) -> bool:
        """Whether the ball waits for a plunge by hand."""
        return bool(self.play.engine.value == FRESH)

    def begin(self, event: int) -> None:
        """A ball waits: it is the next plunge."""
        self._plunge.begin()

    def land(self, event: int) -> None:
        """Pay the landing switch, with what the plunges before have added."""
        self.news(b"LANDED", self._award.pay(self._plunge.land(event)))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
