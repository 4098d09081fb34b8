"""15. Extra ball: lit at one outlane, collected only by draining there."""

from firmware.charts.model import ANY, after, external
from firmware.parts.lit_outlane import FALL, LitOutlane
from firmware.parts.special import ExtraBalls
from firmware.play.claims import NONE, SLOW
from firmware.play.memory import BALL


class ExtraBall(LitOutlane):
    """Drain at the lit outlane for an extra ball; the flipper buttons move the light."""

    name = "extra_ball"
    span = BALL
    chart = (
        ("idle", "outlane.right", "falling", "mark", "right_lit"),
        ("idle", "outlane.left", "falling", "mark", "left_lit"),
        ("falling", "outlane.right", external("falling"), "mark", "right_lit"),
        ("falling", "outlane.left", external("falling"), "mark", "left_lit"),
        ("falling", "playfield", "idle", None, "elsewhere"),
        ("falling", "trough", "fallen", None),
        ("falling", after(FALL), "idle", None),
        ("fallen", "outlane.right", "falling", "mark", "right_lit"),
        ("fallen", "outlane.left", "falling", "mark", "left_lit"),
        ("fallen", "playfield", "idle", None),
        ("fallen", "ball.lost", "idle", "win", "last"),
        ("fallen", "ball.lost", "idle", None),
        ("fallen", "ball.ready", "idle", None),
        (ANY, "tilted", "idle", None),
        (ANY, "extra_ball.light", None, "light"),
        (ANY, "button", None, "move"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._balls = ExtraBalls(self, instead=50_000)
        self._again = self.award("lit_again", 25_000)
        self._lamp = self.lamp("extra_ball")
        self._lit_cue = self.cue("extra_ball_lit")

    def bind(self) -> None:
        """Set-up is over: find whom extra balls are owed."""
        super().bind()
        self._balls.bind()

    def show(self) -> None:
        """Set the inserts of the outlanes and of the extra ball."""
        super().show()
        self._lamp.set(SLOW if self._lit.value else NONE)

    def may_light(self) -> bool:
        """Whether lighting it would help this player."""
        return not self._lit.value and self._balls.may_win()

    def light(self, event: int) -> None:
        """Light it; points when it is lit already."""
        if self._lit.value:
            self.news(b"EXTRA BALL LIT", self._again.pay())
        else:
            self._lit.value = 1
            self._lit_cue.play()
            self.news(b"EXTRA BALL LIT", 0)

    def win(self, event: int) -> None:
        """The ball was lost at the lit outlane."""
        self._lit.value = 0
        self.give()

    def give(self) -> None:
        """One more ball for this player, or points when the limit is reached."""
        self.news(b"EXTRA BALL", self._balls.give())


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
