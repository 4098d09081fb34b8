"""Display pages: two lines of 16 cells each; the highest page that is up is shown.

A cell is 7 bits of ASCII, bit 7 the point, bit 8 the comma.
"""

from firmware.base.numbers import slices, zeros
from firmware.base.trace import TEXT, Trace

CELLS = 16
CHUNKS = 6  # chunks of three cells a line; the last has one
ROW = 3 * CHUNKS  # cells kept of a line: behind the last one two that stay 0
LINE = (1 << CHUNKS) - 1  # the chunks of a line, a bit each
BOTH = LINE | LINE << CHUNKS
POINT = 128
COMMA = 256
SPACE = 32
DIGITS = 8  # of a score
OVERFLOW = 100_000_000  # the first score that has more

SCORES = 0
NEWS = 1
WINDOWS = 2
REPORT = 3
COUNT = 4
WARNING = 5
OPERATOR = 6


class Page:
    """One page; writing to it changes nothing until it is the highest that is up.

    `cells` are read only: the methods mark the chunks that they write, and only marked ones are compared.
    """

    def __init__(self, pages: "Pages", priority: int) -> None:
        self.priority = priority
        self.is_up = False
        self.written = BOTH  # chunks written to since they were shown
        self.cells = zeros(2 * ROW, COMMA + POINT + SPACE)
        self._slices = slices(self.cells)
        self._pages = pages
        self.clear(0)
        self.clear(1)

    def show(self) -> None:
        """Put the page up, or show what was written since then."""
        if not self.is_up:
            self.is_up = True
            self._pages.changed = True
        self._pages.dirty = True

    def hide(self) -> None:
        """Take the page down."""
        if self.is_up:
            self.is_up = False
            self._pages.changed = self._pages.dirty = True

    def clear(self, line: int) -> None:
        """Blank one line (0 or 1)."""
        self._slices[line * ROW : line * ROW + CELLS] = self._pages.blank
        self.written |= LINE << line * CHUNKS

    def put(self, line: int, column: int, cell: int) -> None:
        """One cell."""
        at = line * ROW + column
        if self.cells[at] != cell:
            self.cells[at] = cell
            self.written |= 1 << at // 3

    def write(self, line: int, column: int, text: bytes) -> None:
        """Put `text` (ASCII) from `column` on; what would pass the edge is cut."""
        if not text:
            return
        cells = self.cells
        first = at = line * ROW + column
        for char in text if len(text) <= CELLS - column else text[: CELLS - column]:
            cells[at] = char
            at += 1
        self.written |= (2 << (at - 1) // 3) - (1 << first // 3)

    def title(self, line: int, text: bytes) -> None:
        """A whole line: `text` in its middle."""
        self.clear(line)
        self.write(line, (CELLS - len(text)) // 2 if len(text) < CELLS else 0, text)

    def number(self, line: int, right: int, n: int, commas: bool = True) -> int:
        """`n` (not negative) with its last digit in column `right`; the column left of its first digit."""
        cells = self.cells
        base = line * ROW
        at = base + right
        comma = at - 3 if commas else -1
        while at >= base:
            cell = 48 + n % 10
            if at == comma:
                cell += COMMA
                comma -= 3
            if cells[at] != cell:
                cells[at] = cell
                self.written |= 1 << at // 3
            at -= 1
            n //= 10
            if not n:
                break
        return at - base

    def score(self, line: int, right: int, n: int) -> None:
        """A score (not negative), its last digit in column `right`; of a longer one the last eight digits."""
        if n < OVERFLOW:
            self.number(line, right, n)
            return
        for column in range(right, right - DIGITS, -1):
            self.put(line, column, 48 + n % 10 + (COMMA if right - column in (3, 6) else 0))
            n //= 10

    def show_seconds(self, line: int, right: int, ms: int) -> None:
        """A time in seconds and tenths, rounded up so that it shows 0.0 only when it is over.

        The cell left of it is blanked: a time runs down over itself.
        """
        n = (ms + 99) // 100
        self.put(line, right, 48 + n % 10)
        self.put(line, right - 1, POINT + 48 + n // 10 % 10)
        left = self.number(line, right - 2, n // 100, False) if n >= 100 else right - 2
        if left >= 0:
            self.put(line, left, SPACE)


class Pages:
    """Every page, and the cells that are shown."""

    def __init__(self, trace: Trace) -> None:
        self.dirty = True  # a page was shown or hidden, or shown again
        self.changed = True  # which page is the highest up
        self.blank = zeros(CELLS, COMMA)
        for column in range(CELLS):
            self.blank[column] = SPACE
        self._trace = trace
        self._top: Page | None = None
        self._pages: list[Page] = []
        self.shown = [-1] * (2 * CHUNKS)  # by chunk, line after line: its cells; −1: never shown

    def page(self, priority: int) -> Page:
        """A new page; among equals the earlier one is shown."""
        page = Page(self, priority)
        at = len(self._pages)
        while at and self._pages[at - 1].priority < priority:
            at -= 1
        self._pages.insert(at, page)
        return page

    def resolve(self, show: "Callable[[int, int], None]") -> None:
        """Call `show(line * 8 + chunk, cells)` for each chunk of the page on top that changed."""
        self.dirty = False
        if self.changed:
            self._choose()
        page = self._top
        if page is None or not page.is_up:
            return
        cells, shown, chunks = page.cells, self.shown, page.written
        page.written = 0
        at = chunk = 0
        if not chunks & LINE:
            chunks >>= CHUNKS
            chunk = CHUNKS
            at = ROW
        while chunks:
            if chunks & 1:
                value = cells[at] | cells[at + 1] << 9 | cells[at + 2] << 18
                if value != shown[chunk]:
                    shown[chunk] = value
                    ident = chunk if chunk < CHUNKS else chunk - CHUNKS + 8
                    self._trace.add(TEXT, ident, value)
                    show(ident, value)
            chunks >>= 1
            chunk += 1
            at += 3

    def _choose(self) -> None:
        """Find the highest page that is up; another than before is shown whole."""
        self.changed = False
        for page in self._pages:
            if page.is_up:
                if page is not self._top:
                    self._top = page
                    page.written = BOTH
                return


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
