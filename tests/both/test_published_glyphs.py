"""Every glyph of both displays beside four published fonts each, on both Pythons.

A glyph must be one that at least one of the four has; OURS lists the exceptions, as chosen and why; one
that a font has after all fails, too. Read there, in versions of 2026-11-26:

Fourteen segments: PyPI `adafruit-circuitpython-ht16k33` 4.6.17; PyPI `ht16k33-python` 4.2.0 and the font of
github.com/ADBeta/00314S2D-ASCII_Display_Module (their bits 11 and 13 exchanged);
github.com/dmadison/LED-Segment-ASCII. Their small letters are left out: ours look like capitals.

Seven segments: github.com/dmadison/LED-Segment-ASCII; `sevenseg.h` of
github.com/Virtronics/LED-Shield-for-Arduino; PyPI `raspberrypi-tm1637` 1.3.8; PyPI `tkVFD` 1.1.0 (its
order of segments reversed). Small letters count as the same letter, since seven segments show some only so.
"""

from firmware.devices import digits, segments

# fmt: off
FOURTEEN = (
    ('!', (0x4006,)), ('"', (0x0202, 0x0220,)), ('#', (0x12CE,)), ('$', (0x12ED,)),
    ('%', (0x0C24, 0x3FE4,)), ('&', (0x21DB, 0x2359, 0x235D,)), ("'", (0x0200, 0x0400,)),
    ('(', (0x0039, 0x2400,)), (')', (0x000F, 0x0900,)), ('*', (0x3FC0,)), ('+', (0x12C0,)),
    (',', (0x0800,)), ('-', (0x00C0,)), ('.', (0x0000, 0x4000,)), ('/', (0x0C00,)), ('0', (0x0C3F,)),
    ('1', (0x0006, 0x0406,)), ('2', (0x00DB,)), ('3', (0x008F,)), ('4', (0x00E6,)),
    ('5', (0x00ED, 0x2069,)), ('6', (0x00FD,)), ('7', (0x0007, 0x0C01,)), ('8', (0x00FF,)),
    ('9', (0x00E7, 0x00EF,)), (':', (0x1200,)), (';', (0x0A00,)), ('<', (0x2400, 0x2440,)),
    ('=', (0x00C8,)), ('>', (0x0900, 0x0980,)), ('?', (0x5083, 0x50A3, 0x60A3,)), ('@', (0x02BB,)),
    ('A', (0x00F7,)), ('B', (0x128F,)), ('C', (0x0039,)), ('D', (0x120F,)), ('E', (0x0079, 0x00F9,)),
    ('F', (0x0071,)), ('G', (0x00BD,)), ('H', (0x00F6,)), ('I', (0x1200, 0x1209,)), ('J', (0x001E,)),
    ('K', (0x2470,)), ('L', (0x0038,)), ('M', (0x0536,)), ('N', (0x2136,)), ('O', (0x003F,)),
    ('P', (0x00F3,)), ('Q', (0x203F,)), ('R', (0x20F3,)), ('S', (0x00ED,)), ('T', (0x1201,)),
    ('U', (0x003E,)), ('V', (0x0C30,)), ('W', (0x2836,)), ('X', (0x2D00,)), ('Y', (0x00EE, 0x1500,)),
    ('Z', (0x0C09,)), ('[', (0x0039,)), ("\\", (0x2100,)), (']', (0x000F,)), ('^', (0x0C03, 0x2800,)),
    ('_', (0x0008,)), ('`', (0x0100,)), ('{', (0x0949,)), ('|', (0x1200,)), ('}', (0x2489,)),
    ('~', (0x0520, 0x0CC0,)),
)

SEVEN = (
    ('!', (0x86,)), ('"', (0x22,)), ('#', (0x7E,)), ('$', (0x6D,)), ('%', (0xD2,)), ('&', (0x46,)),
    ("'", (0x20,)), ('(', (0x29,)), (')', (0x0B,)), ('*', (0x21,)), ('+', (0x70,)), (',', (0x04, 0x10,)),
    ('-', (0x40,)), ('.', (0x80,)), ('/', (0x52,)), ('0', (0x3F,)), ('1', (0x06,)), ('2', (0x5B,)),
    ('3', (0x4F,)), ('4', (0x66,)), ('5', (0x6D,)), ('6', (0x7D,)), ('7', (0x07,)), ('8', (0x7F,)),
    ('9', (0x6F,)), (':', (0x09,)), (';', (0x0D,)), ('<', (0x61,)), ('=', (0x48,)), ('>', (0x43,)),
    ('?', (0x53, 0xD3,)), ('@', (0x5F,)), ('A', (0x5F, 0x77,)), ('B', (0x7C,)), ('C', (0x39, 0x58,)),
    ('D', (0x5E,)), ('E', (0x79, 0x7B,)), ('F', (0x71,)), ('G', (0x3D, 0x6F,)), ('H', (0x74, 0x76,)),
    ('I', (0x04, 0x06, 0x10, 0x30,)), ('J', (0x0C, 0x0E, 0x1E,)), ('K', (0x74, 0x75, 0x76,)),
    ('L', (0x06, 0x30, 0x38,)), ('M', (0x14, 0x15, 0x37, 0x54, 0x55,)), ('N', (0x37, 0x54,)),
    ('O', (0x3F, 0x5C,)), ('P', (0x73,)), ('Q', (0x67, 0x6B,)), ('R', (0x31, 0x33, 0x50,)), ('S', (0x6D,)),
    ('T', (0x78,)), ('U', (0x1C, 0x3E,)), ('V', (0x1C, 0x2E, 0x3E,)), ('W', (0x14, 0x2A, 0x3E,)),
    ('X', (0x76,)), ('Y', (0x66, 0x6E,)), ('Z', (0x4B, 0x5B,)), ('[', (0x39,)), ('\\', (0x64,)),
    (']', (0x0F,)), ('^', (0x23,)), ('_', (0x08,)), ('`', (0x02,)), ('{', (0x46,)), ('|', (0x30,)),
    ('}', (0x70,)), ('~', (0x01,)),
)
# fmt: on

OURS_OF_FOURTEEN = {
    "!": (0x4200, "one stroke above the point, not two"),
    "&": (0x2559, "none of them is like another"),
    ",": (0x8000, "a segment of its own beside the cell"),
    "?": (0x1083, "without the point, which cells have besides"),
}
OURS_OF_SEVEN = {
    "!": (0x82, "a stroke at the right above the point"),
    "#": (0x00, "seven segments cannot tell it from a letter: blank"),
    "$": (0x00, "the same"),
    "&": (0x00, "the same"),
    "@": (0x00, "the same"),
    "%": (0x52, "as the slash, without the point"),
    "(": (0x39, "as C"),
    ")": (0x0F, "its mirror image"),
    "*": (0x63, "a ring at the top, as of degrees"),
    "+": (0x46, "a minus with a stroke at the right"),
    ",": (0x80, "the point, which shows a comma too"),
    ";": (0x09, "as the colon"),
    "<": (0x58, "a corner that points left"),
    ">": (0x4C, "a corner that points right"),
    "X": (0x49, "three bars: the fonts' X is an H"),
    "`": (0x20, "as the apostrophe"),
    "{": (0x39, "as C"),
    "}": (0x0F, "its mirror image"),
}


def check(published, table, ours):
    for character, glyphs in published:
        found = table[ord(character)]
        if character in ours:
            assert found == ours[character][0], f"{character}: {found:04x}"
            assert found not in glyphs, "no exception any more: " + character
        else:
            assert found in glyphs, f"{character}: {found:04x}"


def test_fourteen_segments_are_as_one_of_the_published_fonts():
    check(FOURTEEN, segments.SEGMENTS, OURS_OF_FOURTEEN)


def test_seven_segments_are_as_one_of_the_published_fonts():
    check(SEVEN, digits.SEGMENTS, OURS_OF_SEVEN)


def test_small_letters_of_seven_segments_are_as_the_capitals():
    for code in range(97, 123):
        assert digits.SEGMENTS[code] == digits.SEGMENTS[code - 32], chr(code)


def test_every_character_is_compared():
    capitals = [chr(code) for code in range(33, 127) if not 97 <= code <= 122]
    assert [character for character, _ in FOURTEEN] == capitals
    assert [character for character, _ in SEVEN] == capitals


def test_a_wrong_glyph_would_be_found():
    spoilt = list(segments.SEGMENTS)
    spoilt[ord("S")] ^= 1
    try:
        check(FOURTEEN, spoilt, OURS_OF_FOURTEEN)
    except AssertionError:
        return
    raise AssertionError("a wrong S was taken")
