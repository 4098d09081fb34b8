"""Small numbers in words: f-strings, %, format, and bytes for the display."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Wording(Feature):
    """A hit pays what can be read again from what was written."""

    name = "wording"
    chart = ((ANY, "wording", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._hits = 0

    def hit(self, event: int) -> None:
        self._hits += 1
        n = self._hits
        words = f"{n:03d}|{n + 9:>4}|{n!r}|{n * 17:x}"
        first, second, third, fourth = words.split("|")
        self._award.pay(int(first) + int(second.strip()) * 10 + int(third) * 1_000 + int(fourth, 16))
        told = "%d of %s, %02d" % (n, "SIX", 6)
        self._award.pay(len(told) * 10_000)
        self.news("HIT {}".format(n).upper().encode(), int("{0}{1}".format(n, 50)))
        self._award.pay(len(", ".join([str(each) for each in range(n + 3)])))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
