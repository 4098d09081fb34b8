"""Whole numbers: shifts, masks, signs, divisions downwards, powers, in bytes and out."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

MASK = 0b1011


class Bits(Feature):
    """A hit sets bits, counts them, divides negative numbers, and reads bytes."""

    name = "bits"
    chart = ((ANY, "bits", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._seen = 0

    def hit(self, event: int) -> None:
        self._seen |= 1 << (4 if self._seen else 1)
        on = self._seen ^ MASK
        count = 0
        while on:
            count += on & 1
            on >>= 1
        self._award.pay(count * 10 + (-7 // 2 + 10) * 100 + (-7 % 5) * 1_000)
        high, low = divmod(self._seen, 16)
        self._award.pay(low * 10_000 + high * 100_000 + (~5 & 0xF))
        self._award.pay(int.from_bytes((300).to_bytes(2, "little"), "little") + 2**10 + abs(-3) + min(9, 4))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
