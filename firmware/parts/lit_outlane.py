"""An award at an outlane that is collected only by draining there."""

from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PLAYER

FALL = 4000  # from the outlane to the trough, at most


class LitOutlane(Feature):
    """Which side is lit is read when the outlane closes; `win` is called when the ball is lost there.

        class Comfort(LitOutlane):
            name = "comfort"
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
                (ANY, "standup", None, "light"),
                (ANY, "button", None, "move"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("won", 25_000)

            def light(self, event): self._lit.value = 1

            def win(self, event):
                self._lit.value = 0
                self._award.pay()

    A flipper button moves the light; the right side is first with each ball.
    """

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._lit = self.value("lit", 0, PLAYER)
        self._left = self.value("left", 0, BALL)
        self._outlane = 0
        self._marked_at = 0
        self._sides = (self.lamp("outlane.right"), self.lamp("outlane.left"))

    def show(self) -> None:
        """Set the inserts of both outlanes."""
        for side in range(2):
            self._sides[side].set(ON if self._lit.value and self._left.value == side else NONE)

    def right_lit(self, event: int) -> bool:
        """Whether the right outlane is lit."""
        return bool(self._lit.value and not self._left.value)

    def left_lit(self, event: int) -> bool:
        """Whether the left outlane is lit."""
        return bool(self._lit.value and self._left.value)

    def elsewhere(self, event: int) -> bool:
        """Whether the playfield switch in progress is another closure than the one that was marked."""
        return bool(self.play.engine.value != self._outlane or self.play.trace.now != self._marked_at)

    def last(self, event: int) -> bool:
        """Whether the ball that was lost was the last in play, none waiting in the lane or to be served."""
        return not self.play.engine.value

    def mark(self, event: int) -> None:
        """A ball is in the lit outlane: record which, and when."""
        self._outlane = event
        self._marked_at = self.play.trace.now

    def move(self, event: int) -> None:
        """A flipper button moves the light to the other side."""
        self._left.value = 1 - self._left.value


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
