"""Lamps: one, a row, a column or all of them blink, so that a lamp that is stuck on stands out."""

from firmware.operator.service_page import ListPage, words
from firmware.operator.wires import place
from firmware.play.claims import NONE, SLOW

ONE, ROW, COLUMN, ALL = range(4)


class Lamps(ListPage):
    """The open button changes between one lamp, a row, a column and all; less and more choose which one.

    Every other lamp is off.
    """

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._mode = ONE
        self._rows = self.menu.lamps
        self._patterns = bytearray(len(self._rows))
        self.play.lamps.override = self._patterns
        self.play.lamps.touch_all()

    def count(self) -> int:
        """How many lamps, rows or columns can be chosen."""
        if self._mode == ONE:
            return len(self._rows)
        return 1 if self._mode == ALL else len(self._lines())

    def show(self, at: int) -> None:
        """Blink the chosen lamps and write which they are."""
        lit = 0
        for i in range(len(self._rows)):
            wanted = self._wanted(i, at)
            lit += wanted
            self._patterns[i] = SLOW if wanted else NONE
        self.play.lamps.touch_all()
        if self._mode == ONE:
            name, colour, row, column = self._rows[at]
            self.show_line(0, words(name))
            self.show_line(1, f"{place(row, column, 'CHAIN')} {colour}")
        else:
            what = "ALL LAMPS" if self._mode == ALL else f"{self._word()} {self._lines()[at]}"
            self.show_line(0, what)
            self.show_line(1, f"{lit} LAMPS")

    def open_(self) -> None:
        """Change from one lamp to a row, a column, all, and back to one."""
        self._mode = (self._mode + 1) % 4
        self.at = 0
        self.draw()

    def stop(self) -> None:
        """Give the lamps back to the rules."""
        self.play.lamps.release()

    def _word(self) -> str:
        return "ROW" if self._mode == ROW else "COLUMN"

    def _lines(self) -> "list[int]":
        """The numbers of all rows, or of all columns."""
        return sorted({self._line(i) for i in range(len(self._rows))})

    def _line(self, i: int) -> int:
        """The row or column of lamp `i`, whichever is chosen."""
        _name, _colour, row, column = self._rows[i]
        return row if self._mode == ROW else column

    def _wanted(self, i: int, at: int) -> bool:
        """Whether lamp `i` belongs to choice `at`."""
        if self._mode == ONE:
            return i == at
        if self._mode == ALL:
            return True
        return self._line(i) == self._lines()[at]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
