"""Generators: what comes next is asked for hit by hit; one that yields from another, and send."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


def ladder(top: int) -> "Iterator[int]":
    n = 1
    while n < top:
        yield n
        n *= 5
    yield from (7, 8)


def total() -> "Generator[int, int, None]":
    n = 0
    while True:
        n += yield n


class Generators(Feature):
    """1, 5, 25, then 7 and 8 times 10 for each hit, then nothing but 3; and a running total."""

    name = "generators"
    chart = ((ANY, "generators", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._steps = ladder(100)
        self._total = total()
        next(self._total)

    def hit(self, event: int) -> None:
        step = next(self._steps, 0)
        self._award.pay(step * 10 + 3)
        self._award.pay(self._total.send(step) * 1_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Generator, Iterator

    from firmware.play.playfield import Playfield
