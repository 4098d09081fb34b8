"""Display pages: two lines of 16 cells each; the highest page that is up is shown.

A cell is 7 bits of ASCII, bit 7 the point, bit 8 the comma.
"""

from array import array

from firmware.base.trace import TEXT, Trace

CELLS = 16
CHUNKS = 6  # chunks of three cells a line; the last has one
POINT = 128
COMMA = 256

SCORES = 0
NEWS = 1
WINDOWS = 2
REPORT = 3
COUNT = 4
WARNING = 5
OPERATOR = 6


class Page:
    """One page; writing to it changes nothing until it is the highest that is up."""

    def __init__(self, pages: "Pages", priority: int) -> None:
        self.priority = priority
        self.up = False
        self.cells = array("h", [32] * (2 * CELLS))
        self._pages = pages

    def show(self) -> None:
        """Put the page up, or show what was written since."""
        self.up = True
        self._pages.dirty = True

    def hide(self) -> None:
        """Take the page down."""
        if self.up:
            self.up = False
            self._pages.dirty = True

    def clear(self, line: int) -> None:
        """Blank one line (0 or 1)."""
        for i in range(line * CELLS, line * CELLS + CELLS):
            self.cells[i] = 32

    def write(self, line: int, column: int, text: bytes) -> None:
        """Put `text` (ASCII) from `column` on; what would pass the edge is cut."""
        at = line * CELLS + column
        room = CELLS - column
        for i in range(len(text) if len(text) < room else room):
            self.cells[at + i] = text[i]

    def title(self, line: int, text: bytes) -> None:
        """A whole line: `text` in its middle."""
        self.clear(line)
        self.write(line, (CELLS - len(text)) // 2 if len(text) < CELLS else 0, text)

    def number(self, line: int, right: int, n: int, commas: bool = True) -> int:
        """`n` (not negative) with its last digit in column `right`; the column left of its first digit."""
        digits = 0
        base = line * CELLS
        while right >= 0:
            cell = 48 + n % 10
            if commas and digits and digits % 3 == 0:
                cell += COMMA
            self.cells[base + right] = cell
            right -= 1
            digits += 1
            n //= 10
            if not n:
                break
        return right

    def tenths(self, line: int, right: int, ms: int) -> None:
        """A time in seconds and tenths, rounded up so that it shows 0.0 only when it is over."""
        n = (ms + 99) // 100
        base = line * CELLS
        self.cells[base + right] = 48 + n % 10
        self.number(line, right - 1, n // 10, False)
        self.cells[base + right - 1] += POINT


class Pages:
    """Every page, and the cells that are shown."""

    def __init__(self, trace: Trace) -> None:
        self.dirty = True
        self._trace = trace
        self._pages: list[Page] = []
        self._shown = array("i", [-1] * (2 * CHUNKS))

    def page(self, priority: int) -> Page:
        """A new page; among equals the earlier one is shown."""
        page = Page(self, priority)
        at = len(self._pages)
        while at and self._pages[at - 1].priority < priority:
            at -= 1
        self._pages.insert(at, page)
        return page

    def resolve(self, show: "Callable[[int, int], None]") -> None:
        """Tell `show(line * 8 + chunk, cells)` of each chunk that changed."""
        if not self.dirty:
            return
        self.dirty = False
        for page in self._pages:
            if page.up:
                self._show(page, show)
                return

    def _show(self, page: Page, show: "Callable[[int, int], None]") -> None:
        for chunk in range(2 * CHUNKS):
            line = 1 if chunk >= CHUNKS else 0
            first = (chunk - line * CHUNKS) * 3
            value = 0
            for i in range(min(first + 3, CELLS) - 1, first - 1, -1):
                value = value << 9 | page.cells[line * CELLS + i]
            if value != self._shown[chunk]:
                self._shown[chunk] = value
                ident = line * 8 + chunk - line * CHUNKS
                self._trace.add(TEXT, ident, value)
                show(ident, value)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
