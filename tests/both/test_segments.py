"""The fourteen-segment glyphs, on both Pythons."""

from firmware.devices.segments import COMMA, POINT, SEGMENTS, segments

# Values on which four published tables agree: PyPI `adafruit-circuitpython-ht16k33`,
# `ht16k33-python` (its bits 11 and 13 swapped back), `tkVFD`, and npm `dseg`; read there.
# Bits: 0-5 a-f, 6 g1, 7 g2, 8 upper-left, 9 top vertical, 10 upper-right, 11 lower-left,
# 12 bottom vertical, 13 lower-right.
AGREED = (
    ("0", 0x0C3F),
    ("2", 0x00DB),
    ("4", 0x00E6),
    ("6", 0x00FD),
    ("8", 0x00FF),
    ("A", 0x00F7),
    ("B", 0x128F),
    ("C", 0x0039),
    ("D", 0x120F),
    ("G", 0x00BD),
    ("H", 0x00F6),
    ("J", 0x001E),
    ("K", 0x2470),
    ("L", 0x0038),
    ("N", 0x2136),
    ("O", 0x003F),
    ("P", 0x00F3),
    ("Q", 0x203F),
    ("R", 0x20F3),
    ("T", 0x1201),
    ("U", 0x003E),
    ("V", 0x0C30),
    ("X", 0x2D00),
    ("Z", 0x0C09),
)


def test_the_table_has_every_ascii_character_and_no_more_than_sixteen_bits():
    assert len(SEGMENTS) == 128
    for bits in SEGMENTS:
        assert 0 <= bits <= 0xFFFF


def test_agreed_glyphs_are_as_published():
    for character, bits in AGREED:
        assert SEGMENTS[ord(character)] == bits, character


def test_digits_and_capitals_all_look_different():
    shown = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    for i in range(len(shown)):
        assert SEGMENTS[ord(shown[i])]
        for j in range(i):
            assert SEGMENTS[ord(shown[i])] != SEGMENTS[ord(shown[j])], shown[i] + shown[j]


def test_small_letters_look_like_capitals():
    for code in range(ord("a"), ord("z") + 1):
        assert SEGMENTS[code] == SEGMENTS[code - 32]


def test_the_blank_and_the_control_codes_light_nothing():
    for code in range(33):
        assert SEGMENTS[code] == 0
    assert SEGMENTS[127] == 0


def test_no_letter_or_digit_lights_point_or_comma_by_itself():
    for code in range(48, 91):
        if code < 58 or code > 64:
            assert not SEGMENTS[code] & (POINT | COMMA), chr(code)


def test_point_and_comma_of_a_cell_come_on_top_of_its_glyph():
    assert segments(ord("7")) == SEGMENTS[ord("7")]
    assert segments(ord("7") | 128) == SEGMENTS[ord("7")] | POINT
    assert segments(ord("7") | 256) == SEGMENTS[ord("7")] | COMMA
    assert segments(ord(" ") | 128 | 256) == POINT | COMMA
