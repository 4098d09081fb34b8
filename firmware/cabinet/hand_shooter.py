"""A shooter lane without an auto plunger: every ball waits for a hand."""

from firmware.cabinet.shooter import Shooter


class HandShooter(Shooter):
    """Says when a ball is ready and when it is away."""

    plunger = ""
    chart = Shooter.chart[:2]
