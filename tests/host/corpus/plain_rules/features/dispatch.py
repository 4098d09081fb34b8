"""A dict that says what to do, by text and by number; its keys in order; get, setdefault and pop."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

ORDER = ("brush", "smoke", "brush", "feed")


class Dispatch(Feature):
    """Four hits: brush, smoke, brush, and feed, which nobody can; then the bill is paid by the alphabet."""

    name = "dispatch"
    chart = ((ANY, "dispatch", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._acts = {"brush": self.brush, "smoke": self.smoke}
        self._bill: dict[str, int] = {}
        self._at = 0

    def brush(self) -> int:
        return 10

    def smoke(self) -> int:
        return 300

    def nothing(self) -> int:
        return 1

    def hit(self, event: int) -> None:
        word = ORDER[self._at]
        self._at += 1
        points = self._acts.get(word, self.nothing)()
        self._bill[word] = self._bill.setdefault(word, 0) + points
        self._award.pay(points)
        if self._at == len(ORDER):
            self._settle()

    def _settle(self) -> None:
        place = 1
        for word in sorted(self._bill):
            self._award.pay(self._bill[word] * place)
            place *= 10
        spent = self._bill.pop("brush") + self._bill.pop("none", 5)
        self._award.pay(spent + len(self._bill) * 100_000 + ("smoke" in self._bill) * 1_000_000)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
