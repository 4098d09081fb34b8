"""The desk's palettes: for a dark room, for a bright room, for eyes that tell few colours apart.

Text has a contrast of at least 4.5 to what it is written on, by the formula of WCAG 2.2 (success criterion
1.4.3). The lamps of CLEAR were searched for: of eight hues those that stay farthest apart (CIE76) for usual
eyes and as protanopia and deuteranopia see them.
"""

from collections.abc import Mapping
from typing import NamedTuple

from simulator.drawing.colours import LAMPS
from simulator.drawing.style import Colour


class Palette(NamedTuple):
    """The colours of everything beside the playfield, and of the lamps on it.

    `lift`: what is added to each channel of the playfield, 0 to 255.
    """

    name: str
    back: Colour
    box: Colour
    edge: Colour
    ink: Colour
    faint: Colour
    strong: Colour
    good: Colour
    bad: Colour
    on_strong: Colour
    lamps: Mapping[str, Colour]
    lift: int = 0


DARK = Palette(
    "dark room",
    back=(18, 20, 22),
    box=(33, 37, 40),
    edge=(74, 82, 86),
    ink=(226, 224, 214),
    faint=(158, 163, 160),
    strong=(255, 196, 84),
    good=(126, 230, 130),
    bad=(255, 128, 104),
    on_strong=(22, 18, 8),
    lamps=LAMPS,
)
BRIGHT = Palette(
    "bright room",
    back=(244, 242, 235),
    box=(226, 223, 213),
    edge=(160, 156, 144),
    ink=(28, 28, 30),
    faint=(84, 84, 82),
    strong=(134, 74, 0),
    good=(0, 92, 36),
    bad=(166, 26, 12),
    on_strong=(255, 252, 244),
    lamps=LAMPS,
    lift=16,
)
CLEAR = Palette(
    "colours told apart",
    back=(14, 18, 28),
    box=(28, 36, 52),
    edge=(82, 94, 118),
    ink=(234, 236, 242),
    faint=(164, 172, 188),
    strong=(255, 206, 60),
    good=(110, 190, 255),
    bad=(255, 150, 60),
    on_strong=(20, 18, 8),
    lamps={
        "white": (255, 255, 255),
        "yellow": (235, 223, 139),
        "amber": (252, 194, 30),
        "orange": (185, 97, 19),
        "red": (129, 20, 31),
        "green": (80, 136, 126),
        "blue": (26, 75, 243),
        "violet": (155, 101, 198),
    },
)
PALETTES = (DARK, BRIGHT, CLEAR)


def luminance(colour: Colour) -> float:
    """Relative luminance of an sRGB colour, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    red, green, blue = (_light(channel) for channel in colour[:3])
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    dark, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dark + 0.05)


def _light(channel: int) -> float:
    share = channel / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
