"""What a rolling ball needs of a table: slopes where balls would lodge, walls behind holes, gates."""

from simulator.drawing.geometry import Point
from simulator.drawing.sketch.sheet import METAL, STEEL, Sheet
from simulator.drawing.sketch.table import ARCH, DIVIDE, MIDDLE, RIGHT

FALL = 0.15  # of a roof's length: its slope
ABOVE = 9  # mm of a roof's low end over the middle of a target
BESIDE = 3  # mm that it reaches beyond
WALL = 19  # mm from a hole's middle to its walls
HIGH_END, LOW_END = (34, 36), (22, 14)  # mm beside and above a hole's middle
CEILING = 24  # y of what lies above everything


def over_targets(sheet: Sheet, left: float, right: float, y: float) -> None:
    """A slope over targets that look to the player, from `left` to `right`, lower towards the middle."""
    fall = FALL * (right - left)
    low_left = (left + right) / 2 > MIDDLE
    ends = [(left - BESIDE, y - ABOVE), (right + BESIDE, y - ABOVE)]
    high = 1 if low_left else 0
    ends[high] = ends[high][0], ends[high][1] - fall
    _wall(sheet, ends)


def around_hole(sheet: Sheet, x: float, y: float, top: float) -> None:
    """Walls of a hole at (x, y) that is open to the player; `top`: of the farthest ball in it."""
    out = -1 if x < MIDDLE else 1
    high, low = (x + out * HIGH_END[0], top - HIGH_END[1]), (x - out * LOW_END[0], top - LOW_END[1])
    _wall(sheet, [high, low])
    for side in (-1, 1):
        at = x + side * WALL
        part = (at - high[0]) / (low[0] - high[0])
        _wall(sheet, [(at, high[1] + part * (low[1] - high[1])), (at, y - 2)])


def beside_ramp(sheet: Sheet, peak: Point, rail: Point) -> None:
    """A slope from a ramp's far end to the rail beside it."""
    _wall(sheet, [peak, rail])


def gates_of_lanes(sheet: Sheet, left: float, right: float, y: float) -> None:
    """Gates at both ends of the lanes at the top: balls come in from the sides and leave through a lane."""
    _gate(sheet, (left, CEILING), (left, y))
    _gate(sheet, (right, y), (right, CEILING))


def gate_of_shooter(sheet: Sheet) -> None:
    """A gate over the shooter lane, so that no ball comes back into it."""
    _gate(sheet, (DIVIDE + 2, ARCH - 6), (RIGHT - 2, ARCH - 20))


def _wall(sheet: Sheet, points: list[Point]) -> None:
    path = "M" + "L".join(f"{x:g} {y:g}" for x, y in points)
    sheet.add("fixed", "path", d=path, stroke=STEEL, stroke_width=3)


def _gate(sheet: Sheet, start: Point, end: Point) -> None:
    sheet.add("one-way", "line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], stroke=METAL)
