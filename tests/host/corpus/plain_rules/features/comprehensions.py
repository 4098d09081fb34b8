"""List, set, dict and generator comprehensions, nested and with conditions."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

ROWS = ((1, 2, 3), (4, 5, 6))


class Comprehensions(Feature):
    """A hit pays the odd cells, every cell once, the keys of a table, and whether all are small."""

    name = "comprehensions"
    chart = ((ANY, "comprehensions", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._squares = {n: n * n for row in ROWS for n in row}

    def hit(self, event: int) -> None:
        odd = [n for row in ROWS for n in row if n % 2]
        rests = {n % 3 for row in ROWS for n in row}
        total = sum(n * 100 for row in ROWS for n in row)
        top = max([self._squares[n] for n in odd])
        points = sum(odd) + len(rests) * 10 + total + top * 1_000
        if all(n < 7 for n in odd) and any(n == 5 for n in odd):
            points += 40_000
        self._award.pay(points)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
