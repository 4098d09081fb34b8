"""What the samples of drives and lamps show: which drive or lamp went on or off, and when.

A sample is two words, one after the other in a ring: 24 drives, low while on; then lamp columns 8 … 1, high
while on, and lamp rows 8 … 1, low while on. Sample n was taken at n · 250 µs.
"""

from array import array

from boards.stand_in.pins import DRIVES, LAMP_COLUMNS, LAMP_ROWS

PERIOD_US = 250
LAMP_EACH = 2  # of these samples one is looked at for lamps: a column of the strobe is on for four
CHANGES = 128  # that wait at most
CELLS = 3  # of a change: ms, line, level
FIRST_LAMP = 64  # lines below: drives from 1; from here on lamps, (column − 1) · 8 + row − 1
_TICKS = (1 << 30) - 1
_OFF = (1 << DRIVES) - 1
_ROWS = (1 << LAMP_ROWS) - 1
_COLUMNS = tuple([1 << column for column in range(LAMP_COLUMNS)])


class Samples:
    """`words[first]` on is a ring of `size` samples. Nothing is on at first."""

    def __init__(self, words: "array[int]", first: int, size: int) -> None:
        self.held = 0  # changes that wait
        self.lost = 0  # changes for which there was no room
        self.drives = 0  # that are on, drive 1 in bit 0
        self.lamps = bytearray(LAMP_COLUMNS)  # of each column the rows that are lit
        self._words = words
        self._first = first
        self._size = size
        self._at = 0
        self._count = 0
        self._before = self._still = _OFF  # the drives in the last sample, and in the last two that agree
        self._shown = -1  # the lamps in the last sample that was looked at
        self._changes = array("i", [0] * (CHANGES * CELLS))
        self._oldest = 0

    @property
    def now_ms(self) -> int:
        """When the last sample that was looked at was taken; a tick of period 2^28."""
        return self._count // 4

    def look(self, end: int) -> None:
        """Look at every sample up to the one at `end`, which is not written yet; at least each 0.4 s."""
        words, first, size = self._words, self._first, self._size
        at = self._at
        while at != end:
            word = words[first + 2 * at]
            if word != self._still or word != self._before:
                self._look_at_drives(word)
            if not at % LAMP_EACH:
                word = words[first + 2 * at + 1]
                if word != self._shown:
                    self._shown = word
                    self._look_at_lamps(word)
            at = (at + 1) % size
            self._count = (self._count + 1) & _TICKS
        self._at = at

    def _look_at_drives(self, word: int) -> None:
        """A level counts once two samples in a row have it."""
        if word == self._before:
            changed = word ^ self._still
            self._still = word
            self.drives ^= changed
            self._bits(changed, self.drives, 1)
        self._before = word

    def _look_at_lamps(self, word: int) -> None:
        """While exactly one column is on, its rows are those of its lamps."""
        columns = word >> LAMP_ROWS & _ROWS
        if columns not in _COLUMNS:
            return
        column = _COLUMNS.index(columns)
        lit = ~word & _ROWS
        changed = lit ^ self.lamps[column]
        if changed:
            self.lamps[column] = lit
            self._bits(changed, lit, FIRST_LAMP + column * LAMP_ROWS)

    def _bits(self, changed: int, levels: int, line: int) -> None:
        while changed:
            if changed & 1:
                self._add(line, levels & 1)
            changed >>= 1
            levels >>= 1
            line += 1

    def _add(self, line: int, level: int) -> None:
        if self.held == CHANGES:
            self.lost += 1
            return
        at = (self._oldest + self.held) % CHANGES * CELLS
        self._changes[at] = self.now_ms
        self._changes[at + 1] = line
        self._changes[at + 2] = level
        self.held += 1

    def take(self, cell: int) -> int:
        """A cell of the oldest change that waits: 0 ms, 1 line, 2 level; after its level it is gone."""
        value = self._changes[self._oldest * CELLS + cell]
        if cell == CELLS - 1:
            self._oldest = (self._oldest + 1) % CHANGES
            self.held -= 1
        return value

    def forget(self) -> None:
        """No change waits any more, and none was lost; what is on stays known."""
        self.held = 0
        self.lost = 0
