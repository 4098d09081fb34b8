"""Two objects that are equal and not the same, and one that is known by two names."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Cell:
    def __init__(self, honey: int) -> None:
        self.honey = honey

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Cell) and self.honey == other.honey

    def __hash__(self) -> int:
        return self.honey


class Twins(Feature):
    """Two equal cells are filled apart; a hit pays both, and 1,000 when they are equal but two."""

    name = "twins"
    chart = ((ANY, "twins.left", None, "left"), (ANY, "twins.right", None, "right"))

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._left = Cell(2)
        self._right = Cell(2)
        self._known = self._left

    def left(self, event: int) -> None:
        self._known.honey += 3
        self._pay()

    def right(self, event: int) -> None:
        self._right.honey += 3
        self._pay()

    def _pay(self) -> None:
        points = self._left.honey * 10 + self._right.honey
        if self._left == self._right and self._left is not self._right:
            points += 1_000
        if self._known is self._left:
            points += 500
        self._award.pay(points)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
