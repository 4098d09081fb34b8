"""14. Guard bee: the kickback at the left outlane."""

from firmware.charts.model import ANY
from firmware.parts.kickback import Kickback
from firmware.play.memory import BALL


class GuardBee(Kickback):
    """The guard kicks a ball out of the left outlane, once; a drain in the next 3 seconds is given back."""

    name = "guard_bee"
    span = BALL
    kick_coil = "kickback"
    insert = "guard"
    grace = 3
    chart = (
        ("calm", "outlane.left", "grace", "kick", "lit"),
        ("grace", "outlane.left", None, "kick", "lit"),
        ("grace", "guard_bee.expired", "calm", None),
        ("grace", "guard_bee.given", "calm", "close"),
        (ANY, "bank.smoker", None, "light"),
    )
