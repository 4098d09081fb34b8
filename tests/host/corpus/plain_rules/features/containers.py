"""A class that behaves as a container: length, places, in, iteration, equality, sums, calls."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Row:
    def __init__(self, cells: "list[int]") -> None:
        self._cells = cells

    def __len__(self) -> int:
        return len(self._cells)

    def __getitem__(self, at: int) -> int:
        return self._cells[at]

    def __setitem__(self, at: int, n: int) -> None:
        self._cells[at] = n

    def __contains__(self, n: int) -> bool:
        return n in self._cells

    def __iter__(self) -> "Iterator[int]":
        return iter(self._cells)

    def __add__(self, other: "Row") -> "Row":
        return Row(self._cells + other._cells)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Row) and self._cells == other._cells

    def __lt__(self, other: "Row") -> bool:
        return len(self) < len(other)

    def __call__(self, n: int) -> int:
        return n * len(self)

    def __bool__(self) -> bool:
        return self._cells[0] > 0


class Containers(Feature):
    """A hit pays a row by its length, its places, what is in it, and what two of them make."""

    name = "containers"
    chart = ((ANY, "containers", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self._row = Row([0, 4, 5])

    def hit(self, event: int) -> None:
        row = self._row
        row[0] += 2
        self._award.pay(len(row) + row[-1] * 10 + (4 in row) * 100 + sum(row) * 1_000)
        both = row + Row([1])
        self._award.pay(both(10) * 1_000 + (row < both) * 100_000 + (row == Row([2, 4, 5])) * 500_000)
        self._award.pay(1_000_000 if row and not Row([0]) else 0)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

    from firmware.play.playfield import Playfield
