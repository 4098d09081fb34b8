"""Bumpers, slings, lanes, targets: things that a ball touches, by class and name, at their usual places."""

import re
from collections.abc import Iterable

from simulator.drawing.geometry import Point
from simulator.drawing.machine import Machine
from simulator.drawing.sketch import roofs
from simulator.drawing.sketch.sheet import METAL, STEEL, Sheet, spread
from simulator.drawing.sketch.table import MIDDLE, mirrored

TOP = 150  # of the row of lanes
LANE_ROWS = (TOP, 545, 617)  # further rows lie across the middle
BUMPER = 29
MOST = 6  # bumpers
HALF = 12.5  # of a target's width
CLOSE = 44  # between targets that have one roof
BUMPERS: dict[int, list[Point]] = {
    1: [(233, 290)],
    2: [(186, 285), (280, 285)],
    3: [(183, 262), (283, 262), (233, 342)],
    4: [(180, 250), (286, 250), (180, 345), (286, 345)],
    5: [(176, 240), (290, 240), (233, 292), (176, 346), (290, 346)],
    MOST: [(166, 240), (233, 240), (300, 240), (166, 340), (233, 340), (300, 340)],
}
SPARE: list[Point] = [
    (150, 560),
    (316, 560),
    (233, 520),
    (110, 640),
    (356, 640),
    (190, 610),
    (276, 610),
    (233, 690),
]
WALLS = (("left", 447), ("right", 19))  # the side that a bank looks to, and its x


def place(sheet: Sheet, machine: Machine) -> None:
    """Place every switch on the playfield that is no ramp, orbit or hole."""
    free = [name for name, switch in machine.switches.items() if switch.zone == "playfield"]
    rest = [name for name in free if name not in sheet.places]
    for names in (
        _slings(sheet, machine, rest),
        _bumpers(sheet, machine, rest),
        _side_lanes(sheet, machine, rest),
        _lane_rows(sheet, machine, rest),
        _targets(sheet, machine, rest),
    ):
        rest = [name for name in rest if name not in names]


def rows(names: Iterable[str]) -> dict[str, list[str]]:
    """Names that differ only in a number at the end, by what is before it, in order."""
    found: dict[str, list[str]] = {}
    for name in names:
        numbered = re.fullmatch(r"(.+?)[._]?\d+", name)
        found.setdefault(numbered[1] if numbered else name, []).append(name)
    return found


def side_of(name: str) -> str:
    """Which side a name says; "" for none."""
    words = re.split(r"[._]", name)
    return next((side for side in ("left", "right") if side in words), "")


def _slings(sheet: Sheet, machine: Machine, names: list[str]) -> list[str]:
    found = [name for name in names if machine.switches[name].kind == "sling"]
    for at, name in enumerate(found[:2]):
        right = side_of(name) == "right" or (not side_of(name) and at == 1)
        points = [(100, 742), (146, 858), (100, 826)]
        corners = [(mirrored(x) if right else x, y) for x, y in points]
        path = "M" + "L".join(f"{x:g} {y:g}" for x, y in corners) + "z"
        sheet.add(
            "elastic",
            "path",
            id=name,
            d=path,
            fill="#7a4c22",
            stroke="#d8ceba",
            stroke_width=5,
            stroke_linejoin="round",
        )
        x = sum(x for x, _ in corners) / 3
        sheet.name(name, x, 800, (x + (28 if right else -28), 720))
    return found[:2]


def _bumpers(sheet: Sheet, machine: Machine, names: list[str]) -> list[str]:
    found = [name for name in names if machine.switches[name].kind == "bumper"]
    for name, (x, y) in zip(found, BUMPERS.get(len(found), BUMPERS[MOST]), strict=False):
        style = {"fill": "#2a2026", "stroke": METAL, "stroke_width": 5}
        sheet.add("elastic", "circle", id=name, cx=x, cy=y, r=BUMPER, **style)
        if name in machine.lamps:
            sheet.insert(name, machine.lamps[name], x, y, BUMPER - 9)
        sheet.name(name, x, y)
        sheet.taken += [(x - 30, y), (x + 30, y), (x, y + 36)]
    return found[:MOST]


def _side_lanes(sheet: Sheet, machine: Machine, names: list[str]) -> list[str]:
    """Inlanes and outlanes, by their names: a return lane is an inlane."""
    found = []
    for name in names:
        side = side_of(name)
        kind = next((word for word in ("outlane", "inlane", "return") if word in name), "")
        if not kind or not side:
            continue
        left = 35 if kind == "outlane" else 78
        x, y = (mirrored(left) if side == "right" else left), 800
        sheet.rollover(name, x, y, (x, y - 36) if kind == "inlane" else (x, y + 34))
        found.append(name)
    return found


def _lane_rows(sheet: Sheet, machine: Machine, names: list[str]) -> list[str]:
    rollovers = [name for name in names if machine.switches[name].kind == "rollover"]
    several = [(family, row) for family, row in rows(rollovers).items() if len(row) > 1]
    found: list[str] = []
    for (family, row), y in zip(several, LANE_ROWS, strict=False):
        for name, x in zip(row, spread(len(row), MIDDLE, 50), strict=True):
            sheet.rollover(name, x, y, (x, y + 28))
        for x in spread(len(row) + 1, MIDDLE, 50):
            sheet.add("fixed", "path", d=f"M{x:g} {y - 34 if y == TOP else y - 16}V{y + 24}", stroke=STEEL)
        if y != TOP:
            sheet.caption(family, MIDDLE, y - 24)
        else:
            ends = list(spread(len(row) + 1, MIDDLE, 50))
            roofs.gates_of_lanes(sheet, ends[0], ends[-1], y - 34)
        found += row
    return found


def _targets(sheet: Sheet, machine: Machine, names: list[str]) -> list[str]:
    """Banks at the walls, drop targets and further banks across the middle, then targets by themselves."""
    found = [name for name in names if machine.switches[name].kind == "target"]
    walls = list(WALLS)
    singles: list[str] = []
    height = 450
    for family, row in rows(found).items():
        if len(row) == 1:
            singles += row
        elif walls and not any(name in machine.latches for name in row):
            side, x = walls.pop(0)
            ys = list(spread(len(row), 570, 32))
            for name, y in zip(row, ys, strict=True):
                sheet.target(name, x, y, side)
            sheet.caption(family, x + (-20 if side == "left" else 20), ys[0] - 22)
        else:
            _across(sheet, machine, row, height, 29)
            sheet.caption(family, MIDDLE, height + 12)
            height += 70
    step = min(70.0, 240 / max(1, len(singles)))
    _across(sheet, machine, singles, height - 30, step)
    for name in singles:
        middle, line = sheet.places[name]
        sheet.caption(name, middle, line + 12, step - 4)
    return found


def _across(sheet: Sheet, machine: Machine, names: list[str], y: float, step: float) -> None:
    xs = list(spread(len(names), MIDDLE, step))
    for name, x in zip(names, xs, strict=True):
        sheet.target(name, x, y, "down")
    if xs and step <= CLOSE:
        roofs.over_targets(sheet, xs[0] - HALF, xs[-1] + HALF, y)
    else:
        for x in xs:
            roofs.over_targets(sheet, x - HALF, x + HALF, y)
    for name in reversed(names):
        _reset(sheet, machine, name)


def _reset(sheet: Sheet, machine: Machine, target: str) -> None:
    """The coil that raises a drop target, beside it; one for several beside the last."""
    coil = machine.latches.get(target)
    if coil and coil not in sheet.places:
        x, y = sheet.places[target]
        sheet.places[coil] = (x, y)
        sheet.kicker(coil, (x + 22, y), (x + 22, 0))
