"""Attributes of a class: shared, shadowed by an object, and changed for all that have none of their own."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Comb:
    cells = 6
    made = 0

    def __init__(self) -> None:
        Comb.made += 1


class ClassAttributes(Feature):
    """Three combs of 6 cells; the first grows by one a hit, and the second hit makes 8 the rule."""

    name = "class_attributes"
    step = 1
    chart = ((ANY, "class_attributes", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        Comb.cells, Comb.made = 6, 0
        self._award = self.award("paid")
        self._combs = [Comb(), Comb(), Comb()]
        self._hits = 0

    def hit(self, event: int) -> None:
        self._hits += 1
        self._combs[0].cells += self.step
        if self._hits == 2:
            Comb.cells = 8
            self.step = type(self).step + 4
        a, b, c = self._combs
        self._award.pay(a.cells * 100 + b.cells * 10 + c.cells + Comb.made * 1_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
