"""The table itself: cabinet walls, shooter lane, inlanes, apron; the machine's title."""

from simulator.drawing.geometry import Point
from simulator.drawing.sketch.sheet import HIGH, WIDE, Sheet

LEFT, RIGHT = 14, 496  # the walls
DIVIDE = 452  # between the playfield and the shooter lane
MIDDLE = (LEFT + DIVIDE) / 2
LANE = (DIVIDE + RIGHT) / 2
ARCH = 230  # where the walls begin to bend
APRON = 992
PIVOT: Point = (143, 905)  # of the left flipper; the right one is its mirror image
TIP: Point = (208, 943)


def mirrored(x: float) -> float:
    """The same place on the other side of the playfield."""
    return 2 * MIDDLE - x


def draw(sheet: Sheet, title: str) -> None:
    """Draw what every table has."""
    outside = f"M{LEFT} {HIGH - 8}V{ARCH}C{LEFT} 90 110 20 255 20S{RIGHT} 90 {RIGHT} {ARCH}V{HIGH - 8}"
    sheet.add("art", "rect", x=0, y=0, width=WIDE, height=HIGH, fill="#141614")
    sheet.add("art", "path", d=outside + "z", fill="#22352f")
    sheet.add("art", "path", d=_floor(), fill="#2b4439")
    sheet.add("art", "rect", x=DIVIDE, y=ARCH, width=RIGHT - DIVIDE, height=HIGH - ARCH - 8, fill="#2a241c")
    sheet.add("art", "path", d=_apron(), fill="#231c16")
    sheet.add("fixed", "path", d=outside)
    sheet.add("fixed", "path", d=f"M{DIVIDE} {HIGH - 8}V{ARCH + 10}")
    for side in (_same, mirrored):
        x = [side(value) for value in (56, 131)]
        sheet.add("fixed", "path", d=f"M{x[0]:g} 770V850L{x[1]:g} 890")
    sheet.add(
        "fixed",
        "path",
        d=f"M{LEFT} {APRON - 22}L{MIDDLE - 70} {APRON + 10}H{MIDDLE + 70}L{DIVIDE} {APRON - 22}",
    )
    sheet.text("art", title, MIDDLE, 84, min(26, 420 / max(1, len(title))), "#e0b050")


def _same(x: float) -> float:
    return x


def _floor() -> str:
    """A lighter part in the middle of the playfield."""
    right = f"{mirrored(60):g} 300 {mirrored(70):g} 500"
    return f"M70 500C60 300 130 190 {MIDDLE} 190S{right}S330 720 {MIDDLE} 720S80 640 70 500z"


def _apron() -> str:
    edge = f"M{LEFT} {APRON - 22}L{MIDDLE - 70} {APRON + 10}H{MIDDLE + 70}L{DIVIDE} {APRON - 22}"
    return f"{edge}V{HIGH - 8}H{LEFT}z"
