"""3. Gold cell: one of the high multipliers hides a special."""

from firmware.charts.model import ANY
from firmware.parts.hidden_step import HiddenStep
from firmware.play.claims import NONE, ON
from firmware.play.memory import PLAYER


class GoldCell(HiddenStep):
    """One of the 4×, 5×, 6× inserts blinks gold; whoever's multiplier reaches it gets a special, once."""

    name = "gold_cell"
    span = PLAYER
    first = 4
    weights = (1, 2, 3)
    inserts = ("times.4", "times.5", "times.6")
    pays_event = "special.win"
    chart = (
        ("hidden", "multiplier.grown", "found", "find", "reached"),
        ("hidden", "multiplier.grown", None, None),
        (ANY, "game.started", None, "draw"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._special = self.lamp("special")

    def bind(self) -> None:
        """Set-up is over: find the multiplier."""
        super().bind()
        self._multiplier = self.play.find("bee_lanes").multiplier

    def show(self) -> None:
        """The special's insert is lit when the next bee lanes win it."""
        super().show()
        near = self.is_in("hidden") and self._multiplier.times() + 1 == self._step.value
        self._special.set(ON if near and self.play.live else NONE)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
