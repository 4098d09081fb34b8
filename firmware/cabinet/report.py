"""The status report: a flipper button held while a ball is free."""

from firmware.charts.model import after
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from firmware.play.pages import REPORT

HOLD = 3000
EACH = 1500


class Report(Feature):
    """Hold a flipper button for 3 seconds to see bonus, multiplier and the state of each feature."""

    name = "report"
    span = PERSISTENT
    chart = (
        ("idle", "button", "holding", None, "free"),
        ("holding", "opened.button", "idle", None),
        ("holding", after(HOLD), "showing", "begin", "free"),
        ("showing", "report.next", None, "next"),
        ("showing", "opened.button ball.ended ball.abandoned tilted", "idle", "end"),
        ("holding", "ball.ended ball.abandoned tilted", "idle", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._page = play.pages.page(REPORT)
        self._next = self.event("report.next")
        self._clock = self.clock(self._next.post)
        self._at = 0
        self._first = 0

    def bind(self) -> None:
        """The report begins with the bonus."""
        super().bind()
        for i in range(len(self.play.features)):
            if self.play.features[i].name.endswith("bonus"):
                self._first = i

    def free(self, event: int) -> bool:
        """Whether a ball is free and played."""
        return self.play.free > 0 and self.play.live

    def begin(self, event: int) -> None:
        """Show the report from its first line on."""
        self._at = self._first
        self.next(event)

    def next(self, event: int) -> None:
        """Show the line of the next feature that has one, for EACH ms."""
        features = self.play.features
        for _ in range(len(features)):
            feature = features[self._at]
            self._at = (self._at + 1) % len(features)
            if feature.report(self._page):
                self._page.show()
                self._clock.start(EACH)
                return

    def end(self, event: int) -> None:
        """Take the report down."""
        self._clock.stop()
        self._page.hide()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
