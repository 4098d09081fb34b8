"""Moves and turns items of an SVG in its own text: every byte that says something else stays as it is."""

import math
import re

from firmware.base.errors import GameError
from simulator.drawing.drawing import Drawing
from simulator.drawing.geometry import Matrix, Point, rotation
from simulator.drawing.items import Item
from simulator.drawing.machine import Machine
from simulator.drawing.markup import Element
from simulator.drawing.style import number

PLACES = {
    "circle": (("cx", "cy"),),
    "ellipse": (("cx", "cy"),),
    "rect": (("x", "y"),),
    "text": (("x", "y"),),
    "line": (("x1", "y1"), ("x2", "y2")),
}
_FIRST_MOVE = re.compile(r"\s*translate\(\s*([^\s,)]+)[\s,]*([^\s,)]*)\s*\)\s*")


class Edits:
    """A drawing that is being changed; `data` is the file as it would be saved."""

    def __init__(self, data: bytes, file: str, machine: Machine) -> None:
        """Raises GameError: no SVG, or one that is not in UTF-8."""
        try:
            data.decode("utf-8")
        except UnicodeDecodeError:
            raise GameError("only a drawing in UTF-8 can be changed", file) from None
        self.data = data
        self._file = file
        self._machine = machine
        self._before: list[bytes] = []
        self.drawing = Drawing(data, file, machine)

    def move(self, item: Item, dx: float, dy: float) -> None:
        """Move an item of the present drawing by so many mm, and the words that are written on it."""
        self._change([(one, _moved(one, dx, dy)) for one in self._together(item)])

    def turn(self, item: Item, degrees: float) -> None:
        """Turn an item of the present drawing around its middle, clockwise."""
        if item.parts:
            self._change([(item, _turned(item, degrees))])

    def undo(self) -> bool:
        """Take back the last change; False when there is none."""
        if not self._before:
            return False
        self.data = self._before.pop()
        self.drawing = Drawing(self.data, self._file, self._machine)
        return True

    def _together(self, item: Item) -> list[Item]:
        return [item, *self.drawing.words.get(item.name, [])]

    def _change(self, changes: list[tuple[Item, dict[str, str]]]) -> None:
        self._before.append(self.data)
        for item, attributes in sorted(changes, key=lambda change: -change[0].element.start):
            self.data = with_attributes(self.data, item.element, attributes)
        self.drawing = Drawing(self.data, self._file, self._machine)


def with_attributes(data: bytes, element: Element, attributes: dict[str, str]) -> bytes:
    """The file with these attributes in the element's start tag."""
    end = _tag_end(data, element.start)
    tag = data[element.start : end].decode("utf-8")
    for name, value in attributes.items():
        found = re.search(rf"(\s{re.escape(name)}\s*=\s*)(\"[^\"]*\"|'[^']*')", tag)
        if found:
            tag = f'{tag[: found.start()]}{found[1]}"{value}"{tag[found.end() :]}'
        else:
            head = re.match(r"<[^\s/>]+", tag)
            assert head is not None  # expat has read it
            tag = f'{head[0]} {name}="{value}"{tag[head.end() :]}'
    return data[: element.start] + tag.encode("utf-8") + data[end:]


def _tag_end(data: bytes, start: int) -> int:
    """The place after the `>` of a start tag."""
    quote = 0
    for at in range(start, len(data)):
        byte = data[at]
        if quote:
            quote = 0 if byte == quote else quote
        elif byte in b"\"'":
            quote = byte
        elif byte == ord(">"):
            return at + 1
    return len(data)


def _moved(item: Item, dx: float, dy: float) -> dict[str, str]:
    """The attributes of an item moved by so many mm."""
    element = item.element
    u, v = _in_user_units(item.matrix, dx, dy)
    if _is_plain(element):
        return {
            name: _shown(number(element.attributes.get(name, "0")) + add)
            for pair in PLACES[element.tag]
            for name, add in zip(pair, (u, v), strict=True)
        }
    old = element.attributes.get("transform", "")
    first = _FIRST_MOVE.match(old)
    if first:
        u, v = u + float(first[1]), v + float(first[2] or 0)
        old = old[first.end() :]
    return {"transform": f"translate({_shown(u)} {_shown(v)}) {old}".strip()}


def _turned(item: Item, degrees: float) -> dict[str, str]:
    """The attributes of an item turned around its middle."""
    element, matrix = item.element, item.matrix
    x, y = matrix.inverse().point(*item.box().middle)
    turn = degrees if matrix.a * matrix.d > matrix.b * matrix.c else -degrees
    if element.tag == "line" and _is_plain(element):
        ends = [[number(element.attributes.get(name, "0")) for name in pair] for pair in PLACES["line"]]
        turned = [rotation(turn, x, y).point(*end) for end in ends]
        return {
            name: _shown(v)
            for pair, end in zip(PLACES["line"], turned, strict=True)
            for name, v in zip(pair, end, strict=True)
        }
    old = element.attributes.get("transform", "")
    return {"transform": f"rotate({_shown(turn)} {_shown(x)} {_shown(y)}) {old}".strip()}


def _is_plain(element: Element) -> bool:
    """Whether the element's place is in its own numbers alone."""
    if element.tag not in PLACES or "transform" in element.attributes:
        return False
    return not any("x" in child.attributes or "y" in child.attributes for child in element.children)


def _in_user_units(matrix: Matrix, dx: float, dy: float) -> Point:
    back = matrix.inverse()
    return back.a * dx + back.c * dy, back.b * dx + back.d * dy


def _shown(value: float) -> str:
    """A number with as many places as a drawing needs."""
    rounded = round(value, 2)
    return str(int(rounded)) if math.isclose(rounded, int(rounded)) else f"{rounded:g}"
