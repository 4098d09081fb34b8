"""Ball save: a ball that drains soon after its first playfield switch is given back, once."""

from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.memory import BALL
from firmware.play.rule_context import FREE

HIDDEN = 1500  # after the insert went dark a drain is still given back


class BallSave(Feature):
    """A ball lost in its first seconds is given back, once a ball."""

    name = "ball_save"
    span = BALL
    chart = (
        ("ready", "playfield", "shown", "begin", "wanted"),
        ("shown", "ball_save.expired", "hidden", "hide"),
        ("hidden", "ball_save.over", "used", None),
        ("shown", "ball_save.given", "used", "close"),
        ("hidden", "ball_save.given", "used", "close"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._seconds = play.settings.get("ball_save")
        self._window = Window(self, insert="again")
        self._given = self.event("ball_save.given")
        self._over = self.event("ball_save.over")
        self._grace = self.clock(self._over.post, FREE)
        self._cue = self.cue("ball_saved")

    def wanted(self, event: int) -> bool:
        """Whether the operator's setting gives this ball a save."""
        return self._seconds.value > 0

    def begin(self, event: int) -> None:
        """The first playfield switch of the ball: the save's time starts."""
        self._window.open_for(self._seconds.value * 1000)

    def hide(self, event: int) -> None:
        """The insert goes dark; a drain is still given back for HIDDEN ms."""
        self._grace.start(HIDDEN)

    def close(self, event: int) -> None:
        """The save was used: its time ends."""
        self._window.close()
        self._grace.stop()

    def save(self) -> bool:
        """Whether a ball that just drained is given back."""
        if self.play.tilted or not (self._window.is_open() or self._grace.is_running()):
            return False
        self.close(0)
        self._cue.play()
        self._given.raise_()
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
