"""Points of routes that are no switch, and the ways of balls that go round a bend."""

from simulator.drawing.geometry import Point
from simulator.drawing.machine import Machine
from simulator.drawing.sketch import balls
from simulator.drawing.sketch.sheet import Sheet
from simulator.drawing.sketch.table import ARCH, LANE, MIDDLE, mirrored

DRAIN: Point = (MIDDLE, 978)
ROUNDS = 6


def place(sheet: Sheet, machine: Machine) -> None:
    """Place points and paths."""
    found = [name for name in machine.points() if name not in sheet.places and name not in machine.unseen()]
    for name in list(found):
        spot = _usual(name)
        if spot is not None:
            sheet.places[name] = spot
    for _ in range(ROUNDS):
        for name in [name for name in found if name not in sheet.places]:
            _between(sheet, machine, name)
    for name in found:
        x, y = sheet.places.setdefault(name, (MIDDLE, 760))
        sheet.add("route", "circle", id=name, cx=x, cy=y, r=3)
    for origin, goal in machine.moves:
        _path(sheet, machine, origin, goal)


def _usual(name: str) -> Point | None:
    """Where a point with such a name usually is."""
    words = name.replace("_", ".").split(".")
    if "drain" in words or "outhole" in words:
        return DRAIN
    if words[:2] == ["lane", "top"]:
        return 430, 92
    if words[:2] == ["orbit", "top"]:
        return MIDDLE, 48
    if "outlane" in words and words[-1] == "end":
        return (mirrored(35) if "right" in words else 35), 930
    return None


def _between(sheet: Sheet, machine: Machine, name: str) -> None:
    """Place a point in the middle of the points around it on the routes."""
    around = {other for move in machine.moves if name in move for other in move if other != name}
    known = [sheet.places[other] for other in sorted(around) if other in sheet.places]
    if not known:
        return
    x, y = sum(p[0] for p in known) / len(known), sum(p[1] for p in known) / len(known)
    while any(abs(x - u) < 12 and abs(y - v) < 12 for u, v in sheet.places.values()):
        y -= 26
    sheet.places[name] = x, max(40, y)


def _path(sheet: Sheet, machine: Machine, origin: str, goal: str) -> None:
    start, end = sheet.places.get(origin), sheet.places.get(goal)
    if start is None or end is None:
        return
    shooters = {device.slots[0] for device in machine.devices if balls.is_shooter(machine, device)}
    bend = ""
    if origin in shooters and end[0] > LANE - 60:
        bend = ""  # up the lane
    elif origin in shooters and end[1] < ARCH:
        bend = f"V{ARCH:g}C{LANE:g} 90 {max(end[0], 330):g} 40 {end[0]:g} {min(end[1], 96):g}"
    elif origin in shooters:
        bend = f"V{ARCH:g}C{LANE:g} 60 300 40 {MIDDLE:g} 60C120 90 90 200 100 420"
    elif "outlane" in origin and end[1] > start[1] + 60:
        bend = f"V930L{(start[0] + DRAIN[0]) / 2:g} 970"
    elif ("inlane" in origin or "return" in origin) and goal.startswith("flipper"):
        bend = f"V850L{(start[0] + end[0]) / 2:g} 880"
    if bend:
        d = f"M{start[0]:g} {start[1]:g}{bend}L{end[0]:g} {end[1]:g}"
        sheet.add("route", "path", id=f"{origin}-to-{goal}", d=d)
