"""Pages of the display against a model of plain lists: what is written, what is shown, what is on top."""

from firmware.base.chance import Stream
from firmware.base.trace import Trace
from firmware.play.claims import CABINET, DARK, LOW, NONE, ON, RULE, SHOW, SLOW, WINDOW, Claims
from firmware.play.pages import (
    CELLS,
    COMMA,
    COUNT,
    NEWS,
    OPERATOR,
    OVERFLOW,
    POINT,
    REPORT,
    SCORES,
    WARNING,
    WINDOWS,
    Pages,
)

BLANK = 32
TEXTS = (b"", b"A", b"HONEY", b"FIFTEEN LETTERS", b"SIXTEEN LETTERS!", b"MORE THAN SIXTEEN")
NUMBERS = (0, 7, 10, 99, 100, 999, 1000, 12_340, 999_999, 1_000_000, 99_999_990, 100_000_000, 123_456_780)


class Sheet:
    """Two lines of cells, written by the sentences of the methods alone."""

    def __init__(self):
        self.lines = [[BLANK] * CELLS, [BLANK] * CELLS]

    def put(self, line, column, cell):
        self.lines[line][column] = cell

    def clear(self, line):
        self.lines[line] = [BLANK] * CELLS

    def write(self, line, column, text):
        for i in range(len(text)):
            if column + i < CELLS:
                self.put(line, column + i, text[i])

    def title(self, line, text):
        self.clear(line)
        self.write(line, max(0, (CELLS - len(text)) // 2), text)

    def number(self, line, right, n, commas=True):
        digits = str(n)
        for i in range(len(digits)):
            behind = len(digits) - 1 - i
            column = right - behind
            mark = COMMA if commas and behind and behind % 3 == 0 else 0
            if column >= 0:
                self.put(line, column, ord(digits[i]) + mark)
        return max(-1, right - len(digits))

    def score(self, line, right, n):
        if n < OVERFLOW:
            self.number(line, right, n)
            return
        for behind in range(8):
            mark = COMMA if behind in (3, 6) else 0
            self.put(line, right - behind, ord(str(n)[-1 - behind]) + mark)

    def show_seconds(self, line, right, ms):
        tenths = (ms + 99) // 100
        seconds = str(tenths // 10)
        self.put(line, right, ord(str(tenths % 10)))
        self.put(line, right - 1, ord(seconds[-1]) + POINT)
        for i in range(1, len(seconds)):
            self.put(line, right - 1 - i, ord(seconds[-1 - i]))
        if right - 1 - len(seconds) >= 0:
            self.put(line, right - 1 - len(seconds), BLANK)


class Glass:
    """What a display shows, by the records that it is sent."""

    def __init__(self):
        self.cells = [0] * 36
        self.sent = 0

    def show(self, ident, value):
        self.sent += 1
        line, chunk = ident // 8, ident % 8
        for i in range(3):
            self.cells[line * 18 + chunk * 3 + i] = value >> 9 * i & 511

    def lines(self):
        return [self.cells[line * 18 : line * 18 + CELLS] for line in (0, 1)]


def step(chance, page, sheet):
    """One call with drawn arguments, of both."""
    line, right = chance.below(2), chance.below(CELLS)
    n = NUMBERS[chance.below(len(NUMBERS))]
    text = TEXTS[chance.below(len(TEXTS))]
    kind = chance.below(8)
    if kind == 0:
        cell = 32 + chance.below(95)
        page.put(line, right, cell)
        sheet.put(line, right, cell)
    elif kind == 1:
        page.clear(line)
        sheet.clear(line)
    elif kind == 2:
        page.write(line, right, text)
        sheet.write(line, right, text)
    elif kind == 3:
        page.title(line, text)
        sheet.title(line, text)
    elif kind == 4:
        assert page.number(line, right, n) == sheet.number(line, right, n)
    elif kind == 5:
        assert page.number(line, right, n, False) == sheet.number(line, right, n, False)
    elif kind == 6:
        page.score(line, max(right, 7), n)
        sheet.score(line, max(right, 7), n)
    else:
        ms = (0, 1, 99, 100, 101, 999, 1000, 9_950, 25_000, 39_901)[chance.below(10)]
        page.show_seconds(line, max(right, 3), ms)
        sheet.show_seconds(line, max(right, 3), ms)


def test_whatever_is_written_is_shown_and_nothing_else():
    for seed in range(8):
        chance = Stream(seed, 1)
        pages = Pages(Trace())
        page, sheet, glass = pages.page(SCORES), Sheet(), Glass()
        page.show()
        pages.resolve(glass.show)
        for _ in range(150):
            for _ in range(1 + chance.below(3)):
                step(chance, page, sheet)
            page.show()
            pages.resolve(glass.show)
            assert glass.lines() == sheet.lines
        glass.sent = 0
        page.show()
        pages.resolve(glass.show)
        assert glass.sent == 0


def test_only_chunks_that_changed_are_sent():
    pages = Pages(Trace())
    page, glass = pages.page(SCORES), Glass()
    page.show()
    pages.resolve(glass.show)
    for line, column, text, sent in ((0, 2, b"X", 1), (0, 2, b"XY", 1), (1, 0, b"ABC", 1), (1, 14, b"AB", 2)):
        glass.sent = 0
        page.write(line, column, text)
        page.show()
        pages.resolve(glass.show)
        assert glass.sent == sent, (line, column, text)


ORDER = (SCORES, NEWS, WINDOWS, REPORT, COUNT, WARNING, OPERATOR)


def test_of_two_pages_the_higher_one_is_shown_whichever_was_made_first():
    for low in range(len(ORDER)):
        for high in range(low + 1, len(ORDER)):
            for first, second in ((low, high), (high, low)):
                pages, glass = Pages(Trace()), Glass()
                made = {first: pages.page(ORDER[first])}
                made[second] = pages.page(ORDER[second])
                for at in (first, second):
                    made[at].put(0, 0, 65 + at)
                    made[at].show()
                pages.resolve(glass.show)
                assert glass.cells[0] == 65 + high, (first, second)
                made[high].hide()
                pages.resolve(glass.show)
                assert glass.cells[0] == 65 + low
                made[low].put(0, 0, 90)
                made[low].show()
                made[high].show()
                pages.resolve(glass.show)
                assert glass.cells[0] == 65 + high


def test_of_two_pages_of_one_height_the_one_made_first_is_shown():
    pages, glass = Pages(Trace()), Glass()
    made = [pages.page(NEWS) for _ in range(3)]
    for at in (2, 1, 0):
        made[at].put(0, 0, 65 + at)
        made[at].show()
        pages.resolve(glass.show)
        assert glass.cells[0] == 65 + at
    made[0].hide()
    pages.resolve(glass.show)
    assert glass.cells[0] == 66


CLAIMS = (LOW, RULE, SHOW, WINDOW, CABINET)


def test_of_two_claims_the_higher_one_lights_the_lamp_whichever_was_made_first():
    for low in range(len(CLAIMS)):
        for high in range(low + 1, len(CLAIMS)):
            for first, second in ((low, high), (high, low)):
                claims = Claims(("jar", "wax"), Trace())
                made = {first: claims.claim("wax", CLAIMS[first])}
                made[second] = claims.claim("wax", CLAIMS[second])
                made[low].set(ON)
                for pattern, shown in ((SLOW, SLOW), (DARK, NONE), (NONE, ON)):
                    made[high].set(pattern)
                    claims.resolve(lambda lamp, pattern: None)
                    assert list(claims.shown) == [NONE, shown], (first, second, pattern)


def test_the_operator_s_patterns_are_above_every_claim_until_they_are_released():
    claims = Claims(("jar", "wax"), Trace())
    claims.claim("wax", CABINET).set(ON)
    claims.resolve(lambda lamp, pattern: None)
    claims.override = bytearray((SLOW, NONE))
    claims.touch_all()
    claims.resolve(lambda lamp, pattern: None)
    assert list(claims.shown) == [SLOW, NONE]
    claims.release()
    assert claims.touched
    claims.resolve(lambda lamp, pattern: None)
    assert list(claims.shown) == [NONE, ON]
    claims.release()
    assert not claims.touched
