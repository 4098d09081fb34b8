"""A hurry-up: the saw starts it, a bench lane collects it."""

from firmware.parts.hurry_up import HurryUp
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Rush(Feature):
    """The saw starts 100,000, which falls to 20,000 in 16 seconds; the left bench lane collects it."""

    name = "rush"
    span = BALL
    chart = (
        ("idle", "saw", "falling", "start"),
        ("falling", "bench.left", "idle", "collect"),
        ("falling", "rush.expired", "idle", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._rush = HurryUp(self, start=100_000, floor=20_000, seconds=16, insert="rush")
        self._award = self.award("collected")

    def start(self, event: int) -> None:
        """The saw starts the value."""
        self._rush.open()

    def collect(self, event: int) -> None:
        """The left bench lane pays what is left of it."""
        self.news(b"RUSH", self._award.pay(self._rush.collect()))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
