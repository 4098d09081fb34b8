"""Lambdas and methods handed on as values: in tables, as keys, as what is called back."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class HandedOn(Feature):
    """Each hit asks the next of three; a second after the last one a method given to the clock pays 9,000."""

    name = "handed_on"
    chart = ((ANY, "handed_on", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._ways = (self.plain, lambda n: n * 30, self.signed(2))
        self._at = 0
        self._clock = self.clock(self._late)
        self._start = self._clock.start

    def plain(self, n: int) -> int:
        return n + 1

    def signed(self, factor: int) -> "Callable[[int], int]":
        return lambda n, by=factor: n * by - 1

    def hit(self, event: int) -> None:
        way = self._ways[self._at]
        self._at = (self._at + 1) % len(self._ways)
        pay = self._award.pay
        pay(way(100))
        pay(max((3, 8, 5), key=lambda n: -n))
        self._start(1_000)

    def _late(self) -> None:
        self._award.pay(9_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.play.playfield import Playfield
