"""Where balls wait and start: trough, shooter lane, flippers."""

from simulator.drawing.geometry import Point
from simulator.drawing.machine import BALL_MM, Device, Machine
from simulator.drawing.sketch.sheet import DARK, Sheet
from simulator.drawing.sketch.table import DIVIDE, LANE, MIDDLE, PIVOT, TIP, mirrored

ROW = 1034  # of the trough
EXIT = 396
PLUNGER = 1004
UPPER: tuple[tuple[Point, Point], ...] = (((438, 470), (372, 508)), ((28, 470), (94, 508)))
"""Pivot and tip of a third and a fourth flipper."""


def place(sheet: Sheet, machine: Machine) -> None:
    """Place them all."""
    home = next(device for device in machine.devices if device.name == machine.home)
    _trough(sheet, machine, home)
    for device in machine.devices:
        if device is not home and is_shooter(machine, device):
            _shooter(sheet, device)
    _flippers(sheet, machine)


def is_shooter(machine: Machine, device: Device) -> bool:
    """Whether a device is a shooter lane."""
    first = machine.switches.get(device.slots[0])
    return first is not None and first.kind == "lane"


def _trough(sheet: Sheet, machine: Machine, home: Device) -> None:
    names = [name for name in home.slots if name in machine.switches]
    beside = [
        name
        for name, switch in machine.switches.items()
        if switch.zone == "device" and name.startswith(f"{home.name}.") and name not in home.slots
    ]
    left = EXIT - len(names) * (BALL_MM + 2)
    wide = DIVIDE - 8 - left
    sheet.add("art", "rect", x=left, y=ROW - 19, width=wide, height=38, rx=4, fill=DARK)
    for at, name in enumerate(names):
        sheet.ring(name, EXIT - at * (BALL_MM + 2), ROW, 13)
    for at, name in enumerate(beside):
        sheet.ring(name, EXIT + (at + 1) * (BALL_MM + 2), ROW, 13)
    if home.coil:
        sheet.kicker(home.coil, (DIVIDE - 14, ROW - 14), (LANE, ROW - 40))


def _shooter(sheet: Sheet, device: Device) -> None:
    y = PLUNGER - 30
    sheet.rollover(device.slots[0], LANE, y, (LANE, y - 110))
    if device.coil:
        sheet.kicker(device.coil, (LANE, PLUNGER + 14), (LANE, 0), 20)


def _flippers(sheet: Sheet, machine: Machine) -> None:
    usual = {"left": (PIVOT, TIP), "right": ((mirrored(PIVOT[0]), PIVOT[1]), (mirrored(TIP[0]), TIP[1]))}
    upper = list(UPPER)
    for flipper in machine.flippers:
        side = next((side for side in usual if side in flipper.name), next(iter(usual), ""))
        (x1, y1), (x2, y2) = usual.pop(side) if side else upper.pop(0)
        sheet.add(
            "coil", "line", id=flipper.name, x1=x1, y1=y1, x2=x2, y2=y2, stroke="#eebe46", stroke_width=16
        )
        sheet.places[flipper.name] = ((x1 + x2) / 2, y1 - 6)
    sheet.taken.append((MIDDLE, PIVOT[1]))
