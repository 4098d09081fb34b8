"""Properties: read, written with a limit, and overridden."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Jar:
    def __init__(self) -> None:
        self._drops = 0

    @property
    def drops(self) -> int:
        return self._drops

    @drops.setter
    def drops(self, n: int) -> None:
        self._drops = min(n, self.most)

    @property
    def most(self) -> int:
        return 5

    @property
    def full(self) -> bool:
        return self._drops == self.most


class Pail(Jar):
    @property
    def most(self) -> int:
        return 9


class Properties(Feature):
    """Each hit adds 4 to a jar of 5 and to a pail of 9; full ones add 1,000 each."""

    name = "properties"
    chart = ((ANY, "properties", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._vessels = (Jar(), Pail())

    def hit(self, event: int) -> None:
        for vessel in self._vessels:
            vessel.drops += 4
        self._award.pay(sum([vessel.drops + 1_000 * vessel.full for vessel in self._vessels]))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
