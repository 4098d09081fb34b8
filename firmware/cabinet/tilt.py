"""Tilt: warnings, then the ball is lost; a bob that swings on counts once."""

from firmware.charts.model import after, external
from firmware.play.claims import CABINET, NONE, ON
from firmware.play.counts import TILTS
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PERSISTENT
from firmware.play.pages import WARNING

SWING = 500  # closures within this of the last are one swing
QUIET = 3000  # after a tilt the bob must hang still this long before the next serve
NOTICE = 2000


class Tilt(Feature):
    """Counts swings of the bob: warnings first, then a tilt; a slam tilt ends the game for all."""

    name = "tilt"
    span = PERSISTENT
    chart = (
        ("idle", "ball.started", "still", None),
        ("idle", "tilt", None, None),
        ("still", "tilt", None, None, "is_nobodys"),
        ("still", "tilt", "swinging", "warn", "may_warn"),
        ("still", "tilt", "tilted", "tilt", "not may_warn"),
        ("swinging", "tilt", external("swinging"), None),
        ("swinging", after(SWING), "still", None),
        ("swinging", "ball.ended", "idle", None),
        ("still", "ball.ended", "idle", None),
        ("tilted", "ball.ended ball.abandoned", "shaken", "clear"),
        ("shaken", "tilt", external("shaken"), None),
        ("shaken", after(QUIET), "still", "calm"),
        ("still", "game.over", "idle", None),
        ("swinging", "game.over", "idle", None),
        ("tilted", "game.over", "idle", "clear"),
        ("shaken", "game.over", "idle", None),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._allowed = play.settings.get("tilt_warnings")
        self._warnings = self.value("warnings", 0, BALL)
        self._calm = self.event("tilt_calm")
        self._tilted = self.event("tilted")
        self._cue = self.cue("warning")
        self._tilt_cue = self.cue("tilt")
        self._lamp = self.lamp("tilt", CABINET)
        self._page = play.pages.page(WARNING)
        self._notice = self.clock(self._page.hide)

    def show(self) -> None:
        """Set the tilt lamp."""
        self._lamp.set(ON if self.is_in("tilted") else NONE)

    def is_shaken(self) -> bool:
        """Whether the next serve has to wait for the bob."""
        return self.is_in("shaken")

    def may_warn(self, event: int) -> bool:
        """Whether this ball has a warning left."""
        return self._warnings.value < self._allowed.value

    def is_nobodys(self, event: int) -> bool:
        """Whether only a ball of an ended game is out, which a new game waits for."""
        return bool(self.play.out and not self.play.live)

    def warn(self, event: int) -> None:
        """Show and sound a warning."""
        self._warnings.value += 1
        self._cue.play()
        self._page.title(0, b"CAREFUL")
        self._page.title(1, b"LEFT   ")
        self._page.number(1, 11, self._allowed.value - self._warnings.value)
        self._page.show()
        self._notice.start(NOTICE)

    def tilt(self, event: int) -> None:
        """The ball is lost: nothing scores, lamps go dark, flippers stop."""
        play = self.play
        play.tilted = True
        play.counts.add(TILTS)
        play.live = False
        play.armed = False
        play.score.live = False
        play.lamps.dark = True
        play.lamps.touch_all()
        play.show_all = True
        play.close_windows()
        self._tilt_cue.play()
        self._notice.stop()
        self._page.title(0, b"TILT")
        self._page.clear(1)
        self._page.show()
        self._tilted.raise_()

    def clear(self, event: int) -> None:
        """Take the tilt's page down."""
        self._page.hide()

    def calm(self, event: int) -> None:
        """The bob has been still for QUIET ms: the next ball may be served."""
        self._calm.raise_()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
