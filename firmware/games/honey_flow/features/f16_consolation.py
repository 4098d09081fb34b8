"""16. Consolation: help for a short and poor game."""

from firmware.parts.consolation import Consolation as PoorGame


class Consolation(PoorGame):
    """A player whose last ball starts with a low score finds the extra ball lit."""

    name = "consolation"
    lights = "extra_ball.light"
    chart = PoorGame.chart
