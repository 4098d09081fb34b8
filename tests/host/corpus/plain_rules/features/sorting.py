"""Sorted by a key, downwards, in place; least and most by a key."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

SHOTS = (("ramp", 7), ("orbit", 2), ("lane", 9), ("scoop", 4))


class Sorting(Feature):
    """A hit pays the worths of the shots by name, downwards, by their rest of 6, one by its last letter."""

    name = "sorting"
    chart = ((ANY, "sorting", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")

    def worth(self, shot: "tuple[str, int]") -> int:
        return shot[1]

    def hit(self, event: int) -> None:
        digits = [shot[1] for shot in sorted(SHOTS)]
        self._award.pay(self._number(digits))
        down = sorted(SHOTS, key=self.worth, reverse=True)  # meant: no two are alike
        self._award.pay(self._number([shot[1] for shot in down]))
        digits.sort(key=lambda n: n % 6)  # meant: no two are alike
        self._award.pay(self._number(digits))
        self._award.pay(min(SHOTS, key=lambda shot: shot[0][-1])[1] * 100_000)

    def _number(self, digits: "list[int]") -> int:
        n = 0
        for digit in digits:
            n = n * 10 + digit
        return n


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
