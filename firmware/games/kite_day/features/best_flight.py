"""8. Best flight: the score to beat."""

from firmware.cabinet.best_score import BestScore


class BestFlight(BestScore):
    """A score above the best flight wins a credit, and is the best flight from then on."""

    first = 150_000
    chart = BestScore.chart
