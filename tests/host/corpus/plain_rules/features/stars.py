"""Arguments by the star: taken, given, and values unpacked."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


def added(first: int, *others: int, **named: int) -> int:
    return first + sum(others) * 10 + named.get("bonus", 0) + len(named) * 1_000


class Stars(Feature):
    """A hit pays 1 and ten times the others, the named bonus, and a thousand for each name."""

    name = "stars"
    chart = ((ANY, "stars", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._given = (1, 2, 3)
        self._named = {"bonus": 500, "spare": 9}

    def hit(self, event: int) -> None:
        self._award.pay(added(*self._given))
        self._award.pay(added(4, *self._given, **self._named))
        first, *rest = self._given
        (a, b), c = (first, rest[0]), rest[-1]
        a, b = b, a
        self._award.pay(a * 100 + b * 10 + c)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
