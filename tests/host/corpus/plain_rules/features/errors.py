"""Errors raised and caught, of one's own and of Python's, through several calls."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Spilt(Exception):
    def __init__(self, drops: int) -> None:
        super().__init__(f"{drops} drops")
        self.drops = drops


class Errors(Feature):
    """A full jar spills: what was spilt is paid a hundredfold; wrong keys and places pay too."""

    name = "errors"
    chart = ((ANY, "errors", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._drops = 0

    def _pour(self, drops: int) -> None:
        if self._drops + drops > 5:
            raise Spilt(self._drops + drops - 5)
        self._drops += drops

    def hit(self, event: int) -> None:
        try:
            self._pour(4)
        except Spilt as spilt:
            self._award.pay(spilt.drops * 100 + len(str(spilt)))
        else:
            self._award.pay(10)
        self._award.pay(self._wrong({}, ()) * 1_000)

    def _wrong(self, table: "dict[str, int]", row: "tuple[int, ...]") -> int:
        n = 0
        for look in (lambda: table["none"], lambda: row[3], lambda: 1 // (n - n), lambda: int("x")):
            try:
                look()
            except (KeyError, IndexError) as error:
                n += 1 if isinstance(error, KeyError) else 2
            except ArithmeticError:
                n += 4
            except ValueError:
                n += 8
        return n


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
