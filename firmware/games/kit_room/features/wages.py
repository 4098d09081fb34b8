"""The end-of-ball bonus of the kit room."""

from firmware.cabinet.bonus import Bonus
from firmware.play.memory import BALL


class Wages(Bonus):
    """500 for each target hit with this ball, 50 hits at most; lost on a tilt.

    Bonus calls what it counts cells. `button` matches either flipper button; `both`: both are pressed.
    """

    name = "wages"
    span = BALL
    per_cell = 500
    cap = 50
    chart = (
        ("play", "vice anvil saw", None, "count_cell"),
        ("play", "ball.ended", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "button", None, "skip", "both"),
        ("counting", "bonus.counted", "counted", None),
        ("counting", "ball.abandoned", "counted", "abandon"),
    )
