"""Blocks of a sheet: rows of two-ended parts, transistors, boxes with pins; each says how high it is.

A block draws parts of the netlist at a point and labels every pin's end with its net.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from hil.electrical.circuit.parts import OUTPUT, SUPPLY, TRISTATE, UNUSED, Part, Pin
from hil.electrical.drawings.sheet import Point, Sheet

if TYPE_CHECKING:
    from schemdraw.elements import Element2Term

ROW = 1.55
STEP = 3.1  # length of a two-ended part with its wires
LABEL = 2.1  # room for a net's name
PIN = 0.52
BOX = 2.9
SYMBOLS = {
    "resistor": "ResistorIEC",
    "capacitor": "Capacitor",
    "film": "Capacitor",
    "X7R": "Capacitor",
    "electrolytic": "Capacitor2",
    "fuse": "FuseIEC",
    "coil": "Inductor2",
    "switch": "Switch",
    "diode": "Diode",
    "schottky": "Schottky",
    "zener": "Zener",
    "suppressor": "Zener",
    "led": "LED",
}
TURNED = ("diode", "schottky", "zener", "suppressor", "led")  # drawn from anode to cathode: pin 2 to pin 1


@dataclass(frozen=True)
class Block:
    """Something to be placed: its height, and what draws it with its upper left corner at a point."""

    height: float
    draw: Callable[[Sheet, Point], None]


def chain(parts: list[Part], nets: list[str]) -> Block:
    """Two-ended parts in a row; `nets` are those of its joints, from the left end to the right one."""

    def draw(sheet: Sheet, at: Point) -> None:
        x, y = at[0] + LABEL, at[1] - 0.95
        for index, part in enumerate(parts):
            ends = (x + index * STEP, y), (x + (index + 1) * STEP, y)
            _two_ended(sheet, part, nets[index], ends)
        _joints(sheet, nets, x, y)

    return Block(ROW + 0.4 * any(part.kind == "led" for part in parts), draw)


def _two_ended(sheet: Sheet, part: Part, left: str, ends: tuple[Point, Point]) -> None:
    first, second = part.pins
    if first.net != left:
        first, second = second, first
    kind: type[Element2Term] = getattr(sheet.elements, SYMBOLS[part.kind])
    forward = first.number == ("2" if part.kind in TURNED else "1")
    sheet.put(kind(), ends[0] if forward else ends[1], ends[1] if forward else ends[0])
    middle, above = (ends[0][0] + ends[1][0]) / 2, 1.0 if part.kind == "led" else 0.62
    if part.kind == "electrolytic":
        sheet.text((middle + (-0.35 if forward else 0.35), ends[0][1] + 0.3), "+", 8, "center")
    sheet.text((middle, ends[0][1] + above), f"{part.mark} {part.value}", 8, "center")
    sheet.end(part.mark, first.number, ends[0])
    sheet.end(part.mark, second.number, ends[1])


def _joints(sheet: Sheet, nets: list[str], x: float, y: float) -> None:
    for index, net in enumerate(nets):
        point = (x + index * STEP, y)
        if index == 0:
            sheet.net(net, point, "right")
        elif index == len(nets) - 1:
            sheet.net(net, point, "left")
        else:
            sheet.dot(point)
            sheet.net(net, point, "center")


def clamp(part: Part) -> Block:
    """A dual diode: from pin 1 (anode) over pin 3 to pin 2 (cathode)."""

    def draw(sheet: Sheet, at: Point) -> None:
        x, y = at[0] + LABEL, at[1] - 0.95
        points = [(x + n * STEP, y) for n in range(3)]
        for start, end in pairwise(points):
            sheet.put(sheet.elements.Schottky(), start, end)
        for name, point in zip(("A", "AK", "K"), points, strict=True):
            sheet.end(part.mark, part.pin(name).number, point)
        sheet.text((x + STEP, y + 0.62), f"{part.mark} {part.value}, pins 1, 3, 2", 8, "center")
        _joints(sheet, [part.net("A"), part.net("AK"), part.net("K")], x, y)

    return Block(ROW, draw)


def transistor(part: Part) -> Block:
    """A MOSFET with its gate to the left."""

    def draw(sheet: Sheet, at: Point) -> None:
        x, y = at[0] + LABEL + 1.4, at[1] - 0.55
        upper, lower = ("S", "D") if part.kind == "p mosfet" else ("D", "S")
        (sheet.p_mosfet if part.kind == "p mosfet" else sheet.mosfet)((x, y))
        points = {upper: (x, y), "G": (x - 1.3667, y - 0.75), lower: (x, y - 1.5)}
        for name, point in points.items():
            sheet.end(part.mark, part.pin(name).number, point)
            sheet.net(part.net(name), point, "right" if name == "G" else "left")
        sheet.text((x + 0.35, y - 0.6), f"{part.mark} {part.value}", 8)
        sheet.text((x + 0.35, y - 0.95), "1 G, 2 D, 3 S", 8)

    return Block(2.7, draw)


def test_point(part: Part) -> Block:
    """A test point with what is expected there."""

    def draw(sheet: Sheet, at: Point) -> None:
        point = (at[0] + LABEL, at[1] - 0.5)
        sheet.net(part.pins[0].net, point, "right")
        sheet.open_dot(point)
        sheet.end(part.mark, "1", point)
        sheet.text((point[0] + 0.3, point[1]), _wrapped(f"{part.mark}: {part.value}"), 8)

    return Block(0.95, draw)


def _wrapped(words: str, width: int = 46) -> str:
    """Text in lines of at most `width` letters."""
    lines = [""]
    for word in words.split():
        if len(lines[-1]) + len(word) + 1 > width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return "\n".join(lines)


def box(part: Part) -> Block:
    """Any other part: a box with its pins by number and name, inputs to the left, outputs to the right."""
    left, right = _sides(part)
    rows = max(len(left), len(right))
    height = rows * PIN + 0.35
    title = _wrapped(f"{part.mark} {part.value}", 34)
    above = 0.3 + 0.35 * len(title.split("\n"))

    def draw(sheet: Sheet, at: Point) -> None:
        x, top = at[0] + LABEL + 0.5, at[1] - above
        sheet.text((x + BOX / 2, top + 0.2 + 0.16 * (len(title.split("\n")) - 1)), title, 8.5, "center")
        sheet.box((x, top - height), BOX, height, "")
        for index, pin in enumerate(left):
            _pin(sheet, part, pin, (x, top - 0.4 - index * PIN), -0.5)
        for index, pin in enumerate(right):
            _pin(sheet, part, pin, (x + BOX, top - 0.4 - index * PIN), 0.5)

    return Block(height + above + 0.3, draw)


def _pin(sheet: Sheet, part: Part, pin: Pin, at: Point, out: float) -> None:
    x, y = at
    words = pin.number if pin.name == pin.number else f"{pin.number} {pin.name}"
    sheet.text((x - out * 0.2, y), words, 8, "left" if out < 0 else "right")
    sheet.wire((x, y), (x + out, y))
    if pin.net:
        sheet.end(part.mark, pin.number, (x + out, y))
        sheet.net(pin.net, (x + out, y), "right" if out < 0 else "left")
    else:
        sheet.cross((x + out, y))


def _sides(part: Part) -> tuple[list[Pin], list[Pin]]:
    """Outputs to the right, the rest to the left; supplies and open pins where there is room."""
    if part.mark == "A701" or part.kind == "connector":
        half = (len(part.pins) + 1) // 2 if len(part.pins) > 6 else len(part.pins)
        return list(part.pins[:half]), list(part.pins[half:])
    right = [pin for pin in part.pins if pin.kind in (OUTPUT, TRISTATE)]
    left = [pin for pin in part.pins if pin not in right and pin.kind not in (SUPPLY, UNUSED)]
    for pin in part.pins:
        if pin.kind in (SUPPLY, UNUSED):
            (right if len(right) <= len(left) else left).append(pin)
    if not right:
        half = (len(left) + 1) // 2
        left, right = left[:half], left[half:]
    return left, right
