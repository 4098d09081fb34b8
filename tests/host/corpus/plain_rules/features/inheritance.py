"""Classes that inherit: super(), hooks that are overridden, isinstance and issubclass."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Shot(Feature):
    """A rule of which only the points are open."""

    worth = 10

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self.hits = 0

    def hit(self, event: int) -> None:
        self.hits += 1
        self._award.pay(self.points())

    def points(self) -> int:
        return self.worth * self.hits


class Grown(Shot):
    worth = 200

    def points(self) -> int:
        return super().points() + self.bonus()

    def bonus(self) -> int:
        return 1


class Inheritance(Grown):
    """Each hit pays 200 a hit so far, 31 more from the second on, and 5,000 for knowing its family."""

    name = "inheritance"
    chart = ((ANY, "inheritance", None, "hit"),)

    def bonus(self) -> int:
        return super().bonus() if self.hits < 2 else 31

    def hit(self, event: int) -> None:
        super().hit(event)
        if isinstance(self, Shot) and issubclass(Grown, Feature) and type(self) is not Grown:
            self._award.pay(5_000)
        if isinstance(self.hits, (bytes, str)):
            self._award.pay(900_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
