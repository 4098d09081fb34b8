"""Functions made by functions, which remember; one that counts for all, and one each."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


def counter(step: int) -> "Callable[[], int]":
    n = 0

    def count() -> int:
        nonlocal n
        n += step
        return n

    return count


class Closures(Feature):
    """Two counters of 7 and 100; each hit pays the first once and the second twice."""

    name = "closures"
    chart = ((ANY, "closures", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._small = counter(7)
        self._large = counter(100)
        self._late = [self._weight(i) for i in range(3)]

    def _weight(self, i: int) -> "Callable[[int], int]":
        def weight(n: int) -> int:
            class Scale:
                factor = i + 1

            return n * Scale.factor

        return weight

    def hit(self, event: int) -> None:
        def both() -> int:
            return self._small() + self._large() + self._large()

        self._award.pay(both() + sum([weight(1) for weight in self._late]) * 1_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.play.playfield import Playfield
