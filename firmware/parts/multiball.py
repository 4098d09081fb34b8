"""A multiball: several balls at once, saved for a time, until one is left."""

from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.memory import BALL


class Multiball(Feature):
    """More than one ball in play: unlimited ball save at first, one more ball by `add_ball`.

        class Swarm(Multiball):
            name = "swarm"
            save_seconds = 12
            chart = (
                ("idle", "made.ramp", "flying", ("begin", "add_ball")),
                ("flying", "ball.lost", "idle", "finish", "one_left"),
                ("flying", "swarm_save.expired", None, None),
                (ANY, "ball.ended ball.abandoned tilted", "idle", "finish"),
            )

    Its save window is called NAME_save and lights `again`. The feature's name goes into `SAVERS` of the game.
    """

    span = BALL
    save_seconds = 0
    _trough: "BallTrough"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._save = Window(self, seconds=self.save_seconds, insert="again", name=self.name + "_save")
        self._saved = self.cue("ball_saved")

    def bind(self) -> None:
        """Set-up is over: find the trough."""
        super().bind()
        self._trough = self.play.find("trough")

    def one_left(self, event: int) -> bool:
        """Whether a single ball is in play, those in the shooter lane and on their way included."""
        return self._trough.in_play() <= 1

    def begin(self, event: int) -> None:
        """The multiball starts: every drain is given back for a time."""
        self._save.open()

    def add_ball(self, event: int) -> None:
        """One more ball by the auto plunger, if the trough has one."""
        if self._trough.balls_home > self._trough.to_serve():
            self._trough.serve(True)

    def finish(self, event: int) -> None:
        """One ball is left, or the ball is over."""
        self._save.close()
        self.play.show_all = True  # rules that do not answer in a multiball offer their shots again

    def save(self) -> bool:
        """Whether a ball that just drained is given back."""
        if self.play.tilted or not self._save.remaining_ms():
            return False
        self._saved.play()
        return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import BallTrough
    from firmware.play.rule_context import RuleContext
