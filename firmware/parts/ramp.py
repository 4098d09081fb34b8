"""A ramp: made when its second switch follows its first in time; the ball on it is not free."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

CLIMB = 3000  # made must follow enter within this, and a ball is on the ramp no longer


class Ramp(Feature):
    """Raises `made_event` when the ramp is made.

        class RampShot(Ramp):
            name = "ramp"
            enter_switch = "ramp.enter"
            made_event = "made.ramp"
            chart = (
                ("clear", "ramp.enter", "climbing", "enter"),
                ("climbing", "ramp.enter", external("climbing"), "enter"),
                ("climbing", "ramp.made", "clear", ("leave", "make")),
                ("climbing", "playfield", None, "leave", "elsewhere"),
                ("climbing", after(CLIMB), "clear", "leave"),
            )

    CLIMB is the longest that a ball is on the ramp, in ms. Windows are frozen while no other ball is free.
    """

    span = PERSISTENT
    enter_switch: "SwitchName | NoName" = ""
    made_event = ""

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._enter = play.switch(self.enter_switch, self.name)
        self._made = self.event(self.made_event)
        self._on = False

    def enter(self, event: int) -> None:
        """The ball is on the ramp."""
        if not self._on:
            self._on = True
            self.play.climbing += 1
            self.play.count_free()

    def make(self, event: int) -> None:
        """It went all the way."""
        self._made.raise_()

    def leave(self, event: int) -> None:
        """It is on the ramp no longer."""
        if self._on:
            self._on = False
            self.play.climbing -= 1
            self.play.count_free()

    def elsewhere(self, event: int) -> bool:
        """Whether the playfield switch in progress is another than the ramp's first."""
        return bool(self.play.engine.value != self._enter)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import NoName, SwitchName
    from firmware.play.rule_context import RuleContext
