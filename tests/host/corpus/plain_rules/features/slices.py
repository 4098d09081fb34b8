"""Slices of tuples, bytes and texts; from the end; assigned to; del."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

WORTHS = (1, 2, 3, 4, 5, 6)
CODE = b"\x01\x02\x03\x04"


class Slices(Feature):
    """A hit pays parts of a row, of bytes and of a word."""

    name = "slices"
    chart = ((ANY, "slices", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._row = bytearray(4)

    def hit(self, event: int) -> None:
        self._award.pay(sum(WORTHS[1:3]) + sum(WORTHS[-2:]) * 10 + sum(list(WORTHS)[::2]) * 100)
        self._row[1:3] = CODE[2:]
        self._award.pay(self._row[1] * 1_000 + self._row[2] * 10_000 + len(self._row[:-1]) * 100_000)
        spare = list("abcd")
        del spare[1:3]
        self._award.pay((spare == ["a", "d"]) * 1_000_000 + len("honey"[1:][:2]))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
