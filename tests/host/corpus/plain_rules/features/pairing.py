"""zip, enumerate, reversed, range with a step, map and filter."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

NAMES = ("a", "b", "c")
WORTHS = (1, 2, 3, 4)


class Pairing(Feature):
    """A hit pays pairs by their place, the names backwards, and every third number below ten."""

    name = "pairing"
    chart = ((ANY, "pairing", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")

    def hit(self, event: int) -> None:
        table = dict(zip(NAMES, WORTHS))
        points = 0
        for place, (name, worth) in enumerate(zip(NAMES, WORTHS), 1):
            points += place * worth * (name in table)
        word = "".join(reversed(NAMES))
        self._award.pay(points * 10 + (word == "cba"))
        self._award.pay(sum(range(0, 10, 3)) * 1_000)
        even = list(filter(lambda n: n % 2 == 0, map(lambda n: n + 1, WORTHS)))
        self._award.pay(sum(even) * 100_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
