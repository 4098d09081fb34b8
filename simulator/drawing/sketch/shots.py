"""Ramps, orbits, spinners, holes, and what is left: what a player aims at."""

from simulator.drawing.geometry import Point, direction
from simulator.drawing.machine import Device, Machine
from simulator.drawing.sketch import balls, roofs
from simulator.drawing.sketch.playfield import SPARE, side_of
from simulator.drawing.sketch.sheet import Sheet
from simulator.drawing.sketch.table import LEFT, MIDDLE, mirrored

ORBIT = 40  # x of the left one
RAMPS = [110, mirrored(110), 186, mirrored(186)]
GATE = 456  # y of a ramp's entry
NEXT = 50  # mm between a rail and a ramp beside it
HOLES: list[Point] = [(316, 412), (150, 412), (44, 700), (422, 700), (233, 420), (44, 300), (422, 300)]


def place(sheet: Sheet, machine: Machine) -> None:
    """Place every switch that is left."""
    _ramps(sheet, machine)
    _orbits(sheet, machine)
    _spinners(sheet, machine)
    _holes(sheet, machine)
    _others(sheet, machine)


def _left(sheet: Sheet, machine: Machine, zone: str = "playfield") -> list[str]:
    return [name for name, s in machine.switches.items() if s.zone == zone and name not in sheet.places]


def _ramps(sheet: Sheet, machine: Machine) -> None:
    """A ramp has a gate where a ball enters, NAME.enter, and one where it has made it, NAME.made."""
    names = _left(sheet, machine)
    free = list(RAMPS)
    for name in [name for name in names if name.endswith(".enter") or (name.endswith("ramp"))]:
        made = name.removesuffix(".enter") + ".made"
        wanted = RAMPS[1] if side_of(name) == "right" else RAMPS[0]
        x = wanted if wanted in free else free[0]
        free.remove(x)
        bed = f"M{x - 26:g} 480L{x - 22:g} 250Q{x:g} 216 {x + 22:g} 250L{x + 26:g} 480z"
        sheet.add(
            "guide",
            "path",
            d=bed,
            fill="#34545c",
            stroke="#6e969e",
            stroke_width=3,
        )
        sheet.caption(name.removesuffix(".enter"), x, 350)
        sheet.gate(name, x, GATE, 20)
        sheet.insert_spots[name.removesuffix(".enter")] = (x, 504)
        if made in names:
            sheet.gate(made, x, 268, 20)
            sheet.insert_spots[made] = (x, 360)


def _orbits(sheet: Sheet, machine: Machine) -> None:
    """Lanes along the walls: rollovers that are named after a side, whatever else their names say."""
    sides = []
    ramps = [x for x in RAMPS if (x, GATE) in sheet.places.values()]
    for name in _left(sheet, machine):
        if machine.switches[name].kind != "rollover" or not (side_of(name) or "orbit" in name):
            continue
        side = side_of(name) or ("left" if "left" not in sides else "right")
        if side in sides:
            continue
        sides.append(side)
        x = mirrored(ORBIT) if side == "right" else ORBIT
        rail = mirrored(68) if side == "right" else 68
        sheet.add("fixed", "path", d=f"M{rail:g} 440V250")
        if any(abs(x - rail) < NEXT for x in ramps):
            peak = mirrored(RAMPS[0]) if side == "right" else RAMPS[0]
            roofs.beside_ramp(sheet, (peak, 218), (rail, 250))
        sheet.rollover(name, x, 340, (x, 470))
        sheet.caption(name, x, 296)


def _spinners(sheet: Sheet, machine: Machine) -> None:
    names = [name for name in _left(sheet, machine) if machine.switches[name].kind == "spinner"]
    for name, x in zip(names, (ORBIT, mirrored(ORBIT), MIDDLE), strict=False):
        sheet.gate(name, x, 410, 20)
        sheet.caption(name, x, 399)


def _holes(sheet: Sheet, machine: Machine) -> None:
    """Devices that hold balls; switches in the device zone that no device has are rings too."""
    spots = list(HOLES)
    for device in machine.devices:
        if device.name != machine.home and not balls.is_shooter(machine, device):
            _hole(sheet, machine, device, *_room(sheet, spots, len(device.slots)))
    for name in _left(sheet, machine, "device"):
        x, y = _free(sheet, spots)
        sheet.ring(name, x, y)
        roofs.around_hole(sheet, x, y, y)
        sheet.caption(name, x, y + 24)


def _hole(sheet: Sheet, machine: Machine, device: Device, x: float, y: float) -> None:
    for at, name in enumerate(device.slots):
        if name in machine.switches and name not in sheet.places:
            sheet.ring(name, x, y - 32 * at, 16, (x, y + 40))
    roofs.around_hole(sheet, x, y, y - 32 * (len(device.slots) - 1))
    sheet.insert_spots.setdefault(device.name, (x, y + 40))
    rings = sum(name in machine.switches for name in device.slots)
    sheet.caption(device.name, x, y - 32 * (rings - 1) - 24)
    if device.coil:
        to = (x + 60 if x < LEFT + 100 else x - 60, y + 60) if abs(x - MIDDLE) > 120 else (MIDDLE, 800)
        u, v = direction((x, y), to)
        sheet.kicker(device.coil, (x + 22 * u, y + 22 * v), to)


def _room(sheet: Sheet, spots: list[Point], slots: int) -> Point:
    """The first of the spots that has room for so many balls away from the player, and an insert below."""
    for x, y in spots:
        rows = [y + 32 - 32 * at for at in range(slots + 1)]
        if all(abs(x - u) > 26 or abs(row - v) > 30 for row in rows for u, v in sheet.taken):
            return x, y
    return _free(sheet, SPARE)


def _others(sheet: Sheet, machine: Machine) -> None:
    for name in _left(sheet, machine):
        x, y = _free(sheet, SPARE)
        if machine.switches[name].kind in ("target", "bumper", "sling"):
            sheet.target(name, x, y, "down")
        else:
            sheet.rollover(name, x, y)
        sheet.caption(name, x, y - 18)


def _free(sheet: Sheet, spots: list[tuple[float, float]]) -> tuple[float, float]:
    """The first of the spots that nothing lies near; beyond them, rows further down."""
    more = [(x, y) for y in range(480, 740, 40) for x in range(110, 380, 46)]
    for x, y in [*spots, *more]:
        if all(abs(x - u) > 28 or abs(y - v) > 28 for u, v in sheet.taken):
            return x, y
    return MIDDLE, 760
