"""Displays of a machine that shows numbers: several of a few digits each, as the game describes them.

A game says so by DISPLAYS in its wiring: (name, digits, segments of each, what it shows). In play each shows
its number. Of the text pages only those of the operator are shown, written over the displays.
"""

from array import array

from firmware.base.trace import TEXT
from firmware.play.pages import CELLS, COMMA, OPERATOR, ROW, Pages

BLANK = 32
ZERO = 48
CHUNK = 3  # cells of one record
CHUNKS = 8  # idents of one display
WIDE = 4  # displays of fewer digits hold no words


class Numbers:
    """What each display shows while no page of the operator is up; displays count from 0.

    `cells` are read only.
    """

    def __init__(self, pages: "NumberPages", sizes: "list[int]") -> None:
        self.sizes = sizes
        self.firsts = [sum(sizes[:i]) for i in range(len(sizes))]
        self.cells = array("h", [BLANK] * sum(sizes))
        self._pages = pages

    def show(self, display: int, n: int, least: int = 1) -> None:
        """`n` (not negative) at the right, with `least` digits or more; of a longer one the last digits."""
        cells = self.cells
        first = self.firsts[display]
        size = self.sizes[display]
        digits = 0
        while digits < size:
            comma = COMMA if digits and digits % 3 == 0 else 0
            more = n or digits < least
            cells[first + size - 1 - digits] = ZERO + n % 10 + comma if more else BLANK
            n //= 10
            digits += 1
        if n:
            self._fill(first, size)
        self._pages.dirty = True

    def blank(self, display: int) -> None:
        """Nothing."""
        first = self.firsts[display]
        for at in range(first, first + self.sizes[display]):
            self.cells[at] = BLANK
        self._pages.dirty = True

    def _fill(self, first: int, size: int) -> None:
        """A number that is too long has no blanks before its last digits, which are all written."""
        for at in range(first, first + size):
            if self.cells[at] == BLANK:
                self.cells[at] = ZERO


class NumberPages(Pages):
    """The numbers, or the operator's page over them."""

    def __init__(self, displays: "tuple[DisplayRow, ...]", trace: "Trace") -> None:
        super().__init__(trace)
        self.displays = displays
        self.numbers = Numbers(self, [digits for _name, digits, _segments, _shows in displays])
        self._lettering = Lettering(self.numbers)
        self.shown = [-1] * (CHUNKS * len(displays))

    def resolve(self, show: "Callable[[int, int], None]") -> None:
        """Call `show(display * 8 + chunk, cells)` for each chunk of cells that changed."""
        self.dirty = False
        cells = self.numbers.cells
        page = self._operator_page()
        if page:
            self._lettering.write(page.cells)
            cells = self._lettering.cells
        at = 0
        sizes = self.numbers.sizes
        for display in range(len(sizes)):
            left = sizes[display]
            ident = display * CHUNKS
            while left > 0:
                value = cells[at]
                if left > 1:
                    value |= cells[at + 1] << 9
                if left > 2:
                    value |= cells[at + 2] << 18
                if value != self.shown[ident]:
                    self._tell(ident, value, show)
                at += min(left, CHUNK)
                left -= CHUNK
                ident += 1

    def _tell(self, ident: int, value: int, show: "Callable[[int, int], None]") -> None:
        self.shown[ident] = value
        self._trace.add(TEXT, ident, value)
        show(ident, value)

    def _operator_page(self) -> "Page | None":
        for page in self._pages:
            if page.priority < OPERATOR:
                break
            if page.is_up:
                return page
        return None


class Lettering:
    """A page's two lines over displays of a few digits: the first half of them has line 1, the rest line 2.

    Words stay whole where they fit, else they run on, without blanks when there is no room for those; what is
    left then is cut. `cells` are read only.
    """

    def __init__(self, numbers: Numbers) -> None:
        self.cells = array("h", [BLANK] * len(numbers.cells))
        wide = [i for i in range(len(numbers.sizes)) if numbers.sizes[i] >= WIDE]
        half = (len(wide) + 1) // 2
        self._bounds = []  # of each line: first cell and end of each of its displays
        for displays in (wide[:half], wide[half:]):
            self._bounds.append([(numbers.firsts[i], numbers.firsts[i] + numbers.sizes[i]) for i in displays])

    def write(self, page: "Sequence[int]") -> None:
        """Both lines of `page`, a Page's cells; a page without a blank fills every display."""
        fill = BLANK if self._has_blank(page) else page[0]
        for at in range(len(self.cells)):
            self.cells[at] = fill
        for line in range(2):
            bounds = self._bounds[line]
            if not self._by_words(page, line * ROW, bounds):
                self._run_on(page, line * ROW, bounds)

    def _has_blank(self, page: "Sequence[int]") -> bool:
        for line in range(2):
            if _word_end(page, line * ROW, line * ROW + CELLS) < line * ROW + CELLS:
                return True
        return False

    def _by_words(self, page: "Sequence[int]", at: int, bounds: "list[tuple[int, int]]") -> bool:
        """Whether every word of the line has found its place."""
        stop = at + CELLS
        display = 0
        to = bounds[0][0] if bounds else 0
        at = _next_word(page, at, stop)
        while at < stop:
            end = _word_end(page, at, stop)
            if display < len(bounds) and to > bounds[display][0]:
                to += 1  # a blank between two words
            while display < len(bounds) and to + end - at > bounds[display][1]:
                display += 1
                to = bounds[display][0] if display < len(bounds) else 0
            if display == len(bounds):
                return False
            while at < end:
                self.cells[to] = page[at]
                to += 1
                at += 1
            at = _next_word(page, at, stop)
        return True

    def _run_on(self, page: "Sequence[int]", at: int, bounds: "list[tuple[int, int]]") -> None:
        """Words one after another over the borders of displays."""
        room = 0
        for first, end in bounds:
            room += end - first
            for to in range(first, end):
                self.cells[to] = BLANK
        stop = at + CELLS
        blanks = 1 if _length(page, at, stop) <= room else 0
        place = 0
        at = _next_word(page, at, stop)
        while at < stop:
            end = _word_end(page, at, stop)
            while at < end:
                self._put(bounds, place, page[at])
                place += 1
                at += 1
            place += blanks
            at = _next_word(page, at, stop)

    def _put(self, bounds: "list[tuple[int, int]]", place: int, cell: int) -> None:
        """A cell at a place counted over all displays of the line; beyond the last it is lost."""
        for first, end in bounds:
            if place < end - first:
                self.cells[first + place] = cell
                return
            place -= end - first


def _next_word(page: "Sequence[int]", at: int, stop: int) -> int:
    while at < stop and page[at] == BLANK:
        at += 1
    return at


def _word_end(page: "Sequence[int]", at: int, stop: int) -> int:
    while at < stop and page[at] != BLANK:
        at += 1
    return at


def _length(page: "Sequence[int]", at: int, stop: int) -> int:
    """Cells of a line's words with one blank between them."""
    length = -1
    at = _next_word(page, at, stop)
    while at < stop:
        end = _word_end(page, at, stop)
        length += 1 + end - at
        at = _next_word(page, end, stop)
    return length


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from firmware.base.trace import Trace
    from firmware.play.interfaces import DisplayRow
    from firmware.play.pages import Page
