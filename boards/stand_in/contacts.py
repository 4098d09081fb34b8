"""Which contacts are closed, as the stand-in's hardware wants it: a table of rows, a word of direct inputs.

A place is a number: (column − 1) · 8 + row − 1 for the matrix, 64 + input − 1 for a direct input.
"""

from boards.stand_in.pins import COLUMNS, DIRECT, ROWS

MATRIX = COLUMNS * ROWS
PLACES = MATRIX + DIRECT
LEVELS = 256  # of eight column wires
NONE = 255  # every column wire is high


class Contacts:
    """All open at first. `rows`: for each level of the column wires (low is read) the rows to pull down.

    The table is as a matrix with a diode at each switch: two columns at once show the rows of both.
    """

    def __init__(self, rows: bytearray, first: int = 0) -> None:
        """`rows[first]` to `rows[first + 255]` is the table; it may lie in a larger piece of memory."""
        self.rows = rows
        self.direct = 0
        self.first = first
        self._closed = bytearray(COLUMNS)
        self.open_all()

    def set(self, place: int, closed: bool) -> None:
        """Close or open the contact at a place, 0 to PLACES − 1."""
        if place >= MATRIX:
            self.direct = _with_bit(self.direct, place - MATRIX, closed)
            return
        column = place // ROWS
        row = 1 << place % ROWS
        self._closed[column] = _with_bit(self._closed[column], place % ROWS, closed)
        holders = self._columns_with(row)
        rows, first, step = self.rows, self.first, 1 << column
        for high in range(0, LEVELS, 2 * step):  # every level at which the column's wire is low
            for level in range(high, high + step):
                if holders & ~level:
                    rows[first + level] |= row
                else:
                    rows[first + level] &= ~row

    def _columns_with(self, row: int) -> int:
        """The columns in which a row is closed, column 1 in bit 0."""
        found = 0
        for column in range(COLUMNS):
            if self._closed[column] & row:
                found |= 1 << column
        return found

    def open_all(self) -> None:
        """As with nothing connected."""
        self.direct = 0
        for column in range(COLUMNS):
            self._closed[column] = 0
        for level in range(LEVELS):
            self.rows[self.first + level] = 0


def _with_bit(word: int, bit: int, on: bool) -> int:
    return word | 1 << bit if on else word & ~(1 << bit)
