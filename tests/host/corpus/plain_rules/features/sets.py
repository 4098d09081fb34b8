"""Sets: what was seen, what both hold, what only one does."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

SPOTS = (3, 1, 3, 2)
WANTED = frozenset((2, 3, 4))


class Sets(Feature):
    """Four hits of which two are alike: each new one pays 10, and the wanted ones among them 100 each."""

    name = "sets"
    chart = ((ANY, "sets", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._seen: set[int] = set()
        self._at = 0

    def hit(self, event: int) -> None:
        spot = SPOTS[self._at]
        self._at += 1
        if spot not in self._seen:
            self._seen.add(spot)
            self._award.pay(10)
        if self._at == len(SPOTS):
            self._award.pay(len(self._seen & WANTED) * 100 + len(self._seen | {4}) * 1_000)
            self._award.pay(sum(self._seen - WANTED) * 20_000 + (WANTED >= {2, 3}) * 1)
            self._seen.discard(9)
            self._seen.clear()
            self._award.pay(len(self._seen) * 500_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
