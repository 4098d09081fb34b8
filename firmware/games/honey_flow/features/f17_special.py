"""17. Special: what it is worth is the operator's choice."""

from firmware.parts.special import Special as AnySpecial


class Special(AnySpecial):
    """A special is 250,000 points, a credit or an extra ball, whichever is set, with a knock."""

    name = "special"
    worth = 250_000
    chart = AnySpecial.chart
