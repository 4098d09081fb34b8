"""The colours of lamps as drawn, and shades of them."""

from collections.abc import Sequence

from simulator.drawing.style import Colour

LAMPS: dict[str, Colour] = {
    "amber": (255, 176, 40),
    "white": (246, 242, 222),
    "red": (255, 72, 52),
    "violet": (200, 112, 255),
    "blue": (86, 164, 255),
    "green": (96, 232, 110),
    "yellow": (255, 226, 70),
    "orange": (255, 140, 40),
}
DARK: Colour = (14, 12, 10)
WHITE: Colour = (255, 255, 255)


def blend(colour: Sequence[int], other: Sequence[int], part: float) -> Colour:
    """The colour at `part` (0 to 1) of the way from one colour to the other."""
    a, b, c = (round(x + (y - x) * part) for x, y in zip(colour[:3], other[:3], strict=True))
    return a, b, c


def lit(lamp: str) -> Colour:
    """An insert of this lamp colour, lit."""
    return blend(LAMPS.get(lamp, LAMPS["white"]), WHITE, 0.12)


def unlit(lamp: str) -> Colour:
    """An insert of this lamp colour, dark."""
    return blend(LAMPS.get(lamp, LAMPS["white"]), DARK, 0.72)


def hexadecimal(colour: Colour) -> str:
    """The colour as SVG writes it."""
    return "#{:02x}{:02x}{:02x}".format(*colour)
