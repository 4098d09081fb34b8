"""Which object a name holds depends on what happened."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Pot:
    def __init__(self, step: int) -> None:
        self.step = step
        self.n = 0

    def fill(self) -> int:
        self.n += self.step
        return self.n


class Sieve:
    """Answers as Pot does, and is no relation of it."""

    def __init__(self, most: int) -> None:
        self.n = most

    def fill(self) -> int:
        self.n -= 1
        return self.n


class Holders(Feature):
    """Every other hit fills the pot, by 30 more each time; those between pay what the sieve still holds."""

    name = "holders"
    chart = ((ANY, "holders", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._pot = Pot(30)
        self._sieve = Sieve(8)
        self._turn = 0

    def hit(self, event: int) -> None:
        self._turn += 1
        holder = self._pot if self._turn % 2 else self._sieve
        other = self._sieve if holder is self._pot else self._pot
        self._award.pay(holder.fill() * 10 + other.n)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
