"""Static methods and class methods, by the class, by an object, and inherited."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Coin:
    worth = 25

    def __init__(self, count: int) -> None:
        self.count = count

    @staticmethod
    def doubled(n: int) -> int:
        return n * 2

    @classmethod
    def roll(cls) -> "Coin":
        return cls(40)

    @classmethod
    def of(cls, points: int) -> int:
        return points // cls.worth


class Token(Coin):
    worth = 7


class StaticMethods(Feature):
    """A hit pays a roll of coins, and what 100 points are in coins and in tokens."""

    name = "static_methods"
    chart = ((ANY, "static_methods", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")

    def hit(self, event: int) -> None:
        roll = Token.roll()
        self._award.pay(Coin.doubled(roll.count) + roll.doubled(1_000) + roll.worth)
        self._award.pay(Coin.of(100) * 10 + Token.of(100))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
