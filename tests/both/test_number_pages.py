"""Displays of digits, on both Pythons: numbers, and the operator's words over them."""

from firmware.base.chance import Stream
from firmware.base.trace import Trace
from firmware.devices.digits import POINT, SEGMENTS, segments
from firmware.play.number_pages import NumberPages
from firmware.play.pages import OPERATOR, WARNING

FIVE = (
    ("a", 7, 7, "score"),
    ("b", 7, 7, "score"),
    ("c", 7, 7, "score"),
    ("d", 7, 7, "score"),
    ("count", 2, 7, "count"),
)


class Glass:
    """Pages, and what their displays show as text."""

    def __init__(self, displays=FIVE):
        self.pages = NumberPages(displays, Trace())
        self.sizes = [row[1] for row in displays]
        self.cells = [[32] * size for size in self.sizes]
        self.told = []

    def show(self, ident, value):
        self.told.append(ident)
        display, chunk = ident // 8, ident % 8
        for i in range(min(3, self.sizes[display] - chunk * 3)):
            self.cells[display][chunk * 3 + i] = value >> (9 * i) & 511

    def look(self):
        self.pages.resolve(self.show)
        return ["".join([chr(cell & 127) for cell in cells]) for cells in self.cells]

    def operator(self, first, second):
        page = self.pages.page(OPERATOR)
        page.title(0, first)
        page.title(1, second)
        page.show()
        return page


def test_a_number_stands_at_the_right_with_commas():
    glass = Glass()
    glass.pages.numbers.show(1, 1234560)
    assert glass.look()[1] == "1234560"
    assert [cell >> 8 for cell in glass.cells[1]] == [1, 0, 0, 1, 0, 0, 0]
    glass.pages.numbers.show(1, 90)
    assert glass.look()[1] == "     90"
    glass.pages.numbers.show(1, 0)
    assert glass.look()[1] == "      0"


def test_of_a_number_that_is_too_long_the_last_digits_are_shown():
    glass = Glass()
    glass.pages.numbers.show(0, 10_000_090)
    glass.pages.numbers.show(3, 9_999_990)
    assert glass.look()[0] == "0000090"
    assert glass.look()[3] == "9999990"


def test_two_digits_of_a_match_have_a_leading_nought():
    glass = Glass()
    glass.pages.numbers.show(4, 0, 2)
    assert glass.look()[4] == "00"
    glass.pages.numbers.show(4, 7, 2)
    assert glass.look()[4] == "07"
    glass.pages.numbers.blank(4)
    assert glass.look()[4] == "  "


def test_only_chunks_that_change_are_shown():
    glass = Glass()
    glass.pages.numbers.show(2, 100)
    glass.look()
    glass.told = []
    glass.pages.numbers.show(2, 110)
    glass.look()
    assert glass.told == [2 * 8 + 1]


def test_words_stay_whole_where_they_fit():
    glass = Glass()
    page = glass.operator(b"SETTING 12", b"BALLS 3")
    assert glass.look() == ["SETTING", "12     ", "BALLS 3", "       ", "  "]
    glass.pages.numbers.show(0, 500)
    assert glass.look()[0] == "SETTING"
    page.hide()
    assert glass.look()[0] == "    500"


def test_words_that_do_not_fit_run_on():
    glass = Glass()
    glass.operator(b"ROW 1 COLUMN 1", b"TESTING NOTHING.")
    assert glass.look()[:4] == ["ROW 1 C", "OLUMN 1", "TESTING", "NOTHING"]


def test_without_room_for_blanks_there_are_none():
    glass = Glass()
    glass.operator(b"A BC DEFGHIJKLMN", b"0123456789ABCDEF")
    assert glass.look()[:4] == ["ABCDEFG", "HIJKLMN", "0123456", "789ABCD"]


def test_a_page_without_a_blank_fills_every_display():
    glass = Glass()
    glass.operator(b"8888888888888888", b"8888888888888888")
    assert glass.look() == ["8888888", "8888888", "8888888", "8888888", "88"]


def test_pages_for_players_are_not_shown():
    glass = Glass()
    glass.pages.numbers.show(0, 40)
    page = glass.pages.page(WARNING)
    page.title(0, b"TILT")
    page.show()
    assert glass.look()[0] == "     40"


def test_a_machine_of_one_display_shows_the_first_line():
    glass = Glass((("a", 6, 7, "score"),))
    glass.operator(b"FAULTS", b"SEE THE PAD")
    assert glass.look() == ["FAULTS"]


def test_digits_have_the_usual_segments_and_a_comma_lights_the_point():
    usual = (0x3F, 0x06, 0x5B, 0x4F, 0x66, 0x6D, 0x7D, 0x07, 0x7F, 0x6F)
    assert tuple([SEGMENTS[48 + n] for n in range(10)]) == usual
    assert segments(ord("7") | 256) == segments(ord("7") | 128) == segments(ord("7")) | POINT
    assert len(SEGMENTS) == 128 and SEGMENTS[32] == 0
    assert [n for n in range(128) if segments(n) != SEGMENTS[n]] == []
    assert [n for n in list(range(33)) + [127] if SEGMENTS[n]] == []


def test_a_number_that_is_too_long_has_noughts_before_its_last_digits():
    glass = Glass()
    for n, shown in ((10_000_000, "0000000"), (10_000_090, "0000090"), (12_000_340, "2000340")):
        glass.pages.numbers.show(2, n)
        assert glass.look()[2] == shown
        assert [i for i in range(7) if glass.cells[2][i] & 127 == 32] == []


def by_words(words, sizes):
    """What each display has when words stay whole, None when there is no room for that."""
    shown = [""] * len(sizes)
    at = 0
    for word in words:
        while True:
            if at == len(sizes):
                return None
            longer = shown[at] + (" " if shown[at] else "") + word
            if len(longer) <= sizes[at]:
                break
            at += 1
        shown[at] = longer
    return shown


def run_on(words, sizes):
    """What each display has when words go over the borders."""
    text = " ".join(words)
    if len(text) > sum(sizes):
        text = "".join(words)
    shown = []
    for size in sizes:
        shown.append(text[:size])
        text = text[size:]
    return shown


WORDS = ("A", "ON", "OFF", "TEST", "COILS", "FAULTS", "VOLTAGE", "SWITCHES", "KEEPER")


def test_words_stand_as_a_model_of_strings_puts_them():
    chance = Stream(5, 1)
    for turn in range(150):
        sizes = [4 + chance.below(4) for _ in range(1 + chance.below(5))]
        lines = []
        for _ in range(2):
            words = [WORDS[chance.below(len(WORDS))] for _ in range(chance.below(4))]
            while len(" ".join(words)) > 16:
                words.pop()
            lines.append(words)
        if len(" ".join(lines[0])) == len(" ".join(lines[1])) == 16:
            continue
        displays = [("d" + str(i), sizes[i], 7, "score") for i in range(len(sizes))]
        displays.insert(chance.below(len(sizes) + 1), ("count", 2, 7, "count"))
        glass = Glass(tuple(displays))
        glass.operator(" ".join(lines[0]).encode(), (" " * chance.below(2) + " ".join(lines[1])).encode())
        half = (len(sizes) + 1) // 2
        expected = []
        for words, of in ((lines[0], sizes[:half]), (lines[1], sizes[half:])):
            shown = by_words(words, of) or run_on(words, of)
            expected += [shown[i] + " " * (of[i] - len(shown[i])) for i in range(len(of))]
        looked = glass.look()
        seen = [looked[i] for i in range(len(displays)) if displays[i][1] > 2]
        assert seen == expected, (turn, lines, sizes)
        assert [looked[i] for i in range(len(displays)) if displays[i][1] == 2] == ["  "]


def test_numbers_of_every_length_stand_as_a_model_of_strings_puts_them():
    for size in range(1, 9):
        glass = Glass((("a", 3, 7, "score"), ("b", size, 7, "score"), ("c", 9, 7, "score")))
        for n in (0, 5, 10, 90, 100, 999, 1000, 54_320, 999_990, 1_000_000, 99_999_990, 100_000_070):
            for least in (1, 2):
                text = str(n)
                if len(text) < least:
                    text = "0" * (least - len(text)) + text
                text = text[-size:] if len(text) > size else " " * (size - len(text)) + text
                glass.pages.numbers.show(1, n, least)
                assert glass.look() == ["   ", text, " " * 9], (size, n, least)
                marks = [i for i in range(size) if glass.cells[1][i] & 256]
                commas = [i for i in range(size) if (size - 1 - i) % 3 == 0 and i < size - 1]
                if len(str(n)) <= size:
                    assert marks == [i for i in commas if text[i] != " "], (size, n)
        glass.pages.numbers.blank(1)
        assert glass.look() == ["   ", " " * size, " " * 9]


def test_a_line_without_a_blank_alone_fills_nothing():
    for first, second in ((b"8" * 16, b"ON"), (b"ON", b"8" * 16)):
        glass = Glass()
        glass.operator(first, second)
        assert glass.look()[4] == "  ", first
    glass = Glass()
    glass.operator(b"8" * 16, b"8" * 16)
    assert glass.look() == ["8888888"] * 4 + ["88"]
