"""A multiball without locks: the right bench lane adds a ball."""

from firmware.charts.model import ANY
from firmware.parts.multiball import Multiball
from firmware.play.claims import FAST, NONE
from firmware.play.memory import BALL

LANES = 3


class Crew(Multiball):
    """Three right bench lanes in a ball add a ball; while two are in play the lane adds another."""

    name = "crew"
    span = BALL
    save_seconds = 5
    chart = (
        ("idle", "bench.right", None, "count", "not third"),
        ("idle", "bench.right", "together", ("add_ball", "begin"), "third"),
        ("together", "bench.right", None, "add_ball"),
        ("together", "ball.lost", "idle", "finish", "one_left"),
        ("together", "crew_save.expired", None, None),
        (ANY, "ball.ended ball.abandoned tilted", "idle", "finish"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lanes = self.value("lanes", 0, BALL)
        self._lamp = self.lamp("crew")

    def show(self) -> None:
        """Set the insert."""
        self._lamp.set(FAST if self.is_in("together") else NONE)

    def third(self, event: int) -> bool:
        """Whether this lane is the third of the ball."""
        return self._lanes.value >= LANES - 1

    def count(self, event: int) -> None:
        """Count a lane."""
        self._lanes.value += 1

    def begin(self, event: int) -> None:
        """The multiball starts, and lanes are counted from none again."""
        self._lanes.value = 0
        super().begin(event)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
