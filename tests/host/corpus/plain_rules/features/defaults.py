"""Default arguments, by place and by name, and a default that stands for none given."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

WEIGHTS = (1, 10, 100)


def weighed(
    n: int, weights: "tuple[int, ...]" = WEIGHTS, *, times: int = 2, more: "list[int] | None" = None
) -> int:
    more = [0] if more is None else more
    more.append(1)
    return sum([n * weight for weight in weights]) * times + len(more) * 1_000


class Defaults(Feature):
    """A hit pays 3 by the usual weights, 4 by two others, and 5 three times."""

    name = "defaults"
    chart = ((ANY, "defaults", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")

    def hit(self, event: int, gain: int = 1) -> None:
        self._award.pay(weighed(3) * gain)
        self._award.pay(weighed(4, (2, 3)))
        self._award.pay(weighed(times=3, n=5, more=[7, 7]))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
