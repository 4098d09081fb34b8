"""News: the last award, shown for a moment."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from firmware.play.pages import NEWS

SHOWN = 2000


class News(Feature):
    """One page shared by every feature; the latest news replaces the one before."""

    name = "news"
    span = PERSISTENT
    chart = (("on", "ball.started ball.ended ball.abandoned tilted", None, "clear"),)

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        play.news = self
        self._page = play.pages.page(NEWS)
        self._clock = self.clock(self._page.hide)

    def announce(self, title: bytes, points: int) -> None:
        """Show `title` and, when there are any, `points`."""
        self._page.title(0, title)
        self._page.clear(1)
        if points:
            self._page.number(1, 11, points)
        self._page.show()
        self._clock.start(SHOWN)

    def clear(self, event: int) -> None:
        """Take the page down."""
        self._page.hide()
        self._clock.stop()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
