"""Display pages: two lines of 16 cells each; the highest page that is up is shown.

A cell is 7 bits of ASCII, bit 7 the point, bit 8 the comma.
"""

from array import array

from firmware.base.trace import TEXT, Trace

CELLS = 16
CHUNKS = 6  # chunks of three cells a line; the last has one
POINT = 128
COMMA = 256
BLANK = array("h", [32] * CELLS)
BOTH = 3  # lines, a bit each

SCORES = 0
NEWS = 1
WINDOWS = 2
REPORT = 3
COUNT = 4
WARNING = 5
OPERATOR = 6


class Page:
    """One page; writing to it changes nothing until it is the highest that is up.

    `cells` are read only: the methods mark the line that they write, and only marked lines are compared.
    """

    def __init__(self, pages: "Pages", priority: int) -> None:
        self.priority = priority
        self.is_up = False
        self.written = BOTH  # lines written to since they were shown
        self.cells = array("h", [32] * (2 * CELLS))
        self._view = memoryview(self.cells)
        self._pages = pages

    def show(self) -> None:
        """Put the page up, or show what was written since then."""
        self.is_up = True
        self._pages.dirty = True

    def hide(self) -> None:
        """Take the page down."""
        if self.is_up:
            self.is_up = False
            self._pages.dirty = True

    def clear(self, line: int) -> None:
        """Blank one line (0 or 1)."""
        self._view[line * CELLS : line * CELLS + CELLS] = BLANK
        self.written |= 1 << line

    def put(self, line: int, column: int, cell: int) -> None:
        """One cell."""
        self.cells[line * CELLS + column] = cell
        self.written |= 1 << line

    def write(self, line: int, column: int, text: bytes) -> None:
        """Put `text` (ASCII) from `column` on; what would pass the edge is cut."""
        cells = self.cells
        at = line * CELLS + column
        for char in text if len(text) <= CELLS - column else text[: CELLS - column]:
            cells[at] = char
            at += 1
        self.written |= 1 << line

    def title(self, line: int, text: bytes) -> None:
        """A whole line: `text` in its middle."""
        self.clear(line)
        self.write(line, (CELLS - len(text)) // 2 if len(text) < CELLS else 0, text)

    def number(self, line: int, right: int, n: int, commas: bool = True) -> int:
        """`n` (not negative) with its last digit in column `right`; the column left of its first digit."""
        self.written |= 1 << line
        cells = self.cells
        base = line * CELLS
        at = base + right
        comma = at - 3 if commas else -1
        while at >= base:
            cell = 48 + n % 10
            if at == comma:
                cell += COMMA
                comma -= 3
            cells[at] = cell
            at -= 1
            n //= 10
            if not n:
                break
        return at - base

    def show_seconds(self, line: int, right: int, ms: int) -> None:
        """A time in seconds and tenths, rounded up so that it shows 0.0 only when it is over.

        The cell left of it is blanked: a time runs down over itself.
        """
        n = (ms + 99) // 100
        cells = self.cells
        left = self.number(line, right - 1, n // 10, False)
        if left >= 0:
            cells[line * CELLS + left] = 32
        at = line * CELLS + right
        cells[at] = 48 + n % 10
        cells[at - 1] += POINT


class Pages:
    """Every page, and the cells that are shown."""

    def __init__(self, trace: Trace) -> None:
        self.dirty = True  # a page was shown or hidden
        self._trace = trace
        self._top: Page | None = None
        self._pages: list[Page] = []
        self._shown = [-1] * 16  # by ident: line * 8 + chunk

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
        for page in self._pages:
            if page.is_up:
                lines = page.written if page is self._top else BOTH
                self._top = page
                page.written = 0
                if lines & 1:
                    self._show(page.cells, 0, show)
                if lines & 2:
                    self._show(page.cells, 1, show)
                return

    def _show(self, cells: "array[int]", line: int, show: "Callable[[int, int], None]") -> None:
        shown = self._shown
        at = line * CELLS
        last = line * 8 + CHUNKS - 1
        for ident in range(line * 8, last):
            value = cells[at] | cells[at + 1] << 9 | cells[at + 2] << 18
            at += 3
            if value != shown[ident]:
                self._tell(ident, value, show)
        if cells[at] != shown[last]:
            self._tell(last, cells[at], show)

    def _tell(self, ident: int, value: int, show: "Callable[[int, int], None]") -> None:
        self._shown[ident] = value
        self._trace.add(TEXT, ident, value)
        show(ident, value)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
