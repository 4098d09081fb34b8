"""while and for with else, break, continue, and a loop within a loop."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Loops(Feature):
    """Each hit looks for a number that the hits divide: found pays 100 times it, not found pays 7."""

    name = "loops"
    chart = ((ANY, "loops", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._hits = 0

    def hit(self, event: int) -> None:
        self._hits += 1
        n = 10
        while n > 7:
            n -= 1
            if n % (self._hits + 1) == 0:
                self._award.pay(n * 100)
                break
        else:
            self._award.pay(70)
        for i in range(5):
            if i % 2:
                continue
            for j in range(i):
                if j == 3:
                    break
                self._award.pay(1_000)
        else:
            self._award.pay(20_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
