"""3. Gold cell: one of the high multipliers hides a special."""

from firmware.charts.model import ANY
from firmware.parts.hidden_step import HiddenStep
from firmware.play.memory import PLAYER


class GoldCell(HiddenStep):
    """One of the 4×, 5×, 6× inserts blinks gold; whoever's multiplier reaches it gets a special, once."""

    name = "gold_cell"
    span = PLAYER
    first = 4
    weights = (1, 2, 3)
    inserts = ("times.4", "times.5", "times.6")
    pays = "special.win"
    chart = (
        ("hidden", "multiplier.grown", "found", "find", "reached"),
        (ANY, "game.started", None, "draw"),
    )
