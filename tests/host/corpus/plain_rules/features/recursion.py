"""A function that calls itself, and two that call each other, no deeper than a comb is."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

DEEP = 5


def cells(rings: int) -> int:
    return 1 if rings == 0 else rings * 6 + cells(rings - 1)  # depth: 5 a comb has at most five rings


def even(n: int) -> bool:
    return True if n == 0 else odd(n - 1)  # depth: 4 nobody asks beyond seven


def odd(n: int) -> bool:
    return False if n == 0 else even(n - 1)


class Recursion(Feature):
    """A hit pays the cells of a comb of five rings, and 1,000 for an odd seven."""

    name = "recursion"
    chart = ((ANY, "recursion", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")

    def hit(self, event: int) -> None:
        self._award.pay(cells(DEEP))
        self._award.pay(1_000 * odd(7) + 500 * even(7))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
