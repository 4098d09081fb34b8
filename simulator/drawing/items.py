"""Reads an SVG into items: what is drawn, in which group, under which name."""

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from firmware.charts.suggest import did_you_mean
from simulator.drawing.geometry import Box, Matrix, Point, bounds, transform
from simulator.drawing.markup import EDITORS, Element
from simulator.drawing.outlines import SHAPES
from simulator.drawing.parts import Part, Text, part_of, texts_of
from simulator.drawing.style import is_hidden, number, properties

ROLES = ("one-way", "art", "fixed", "elastic", "guide", "sensor", "light", "coil", "route")
NAMED = ("sensor", "light", "coil", "route")  # groups in which everything has a name
IGNORED = ("defs", "metadata", "title", "desc", EDITORS)
MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}
SMALLEST, LARGEST = 100, 3000  # mm

_EDITORS_ID = re.compile(
    r"(path|rect|rectangle|circle|ellipse|oval|line|polygon|polyline|curve|vector|union|shape|g|group|text|tspan"
    r"|layer|frame|svg)[-_ ]?\d[\d-]*",
    re.IGNORECASE,
)


class Remark(NamedTuple):
    """What does not fit, with the line of the file; a `fatal` one keeps the drawing from being used."""

    line: int
    text: str
    fatal: bool = True


@dataclass
class Item:
    """What has one name, or one shape without a name. `height` is mm above the playfield."""

    role: str
    name: str
    element: Element
    matrix: Matrix
    height: float
    parts: list[Part] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    @property
    def line(self) -> int:
        """Its line in the file."""
        return self.element.line

    def points(self) -> list[Point]:
        """Every point of its shapes, in order."""
        return [point for part in self.parts for point in part.points()]

    def box(self) -> Box:
        """The box around its shapes."""
        return bounds(self.points())


class _Place(NamedTuple):
    """What an element inherits."""

    role: str
    matrix: Matrix
    properties: dict[str, str]
    height: float
    item: Item | None


class Reader:
    """The items of a drawing in the order of the file, its size in mm, and what could not be read."""

    def __init__(self, root: Element) -> None:
        self.items: list[Item] = []
        self.remarks: list[Remark] = []
        self.size, matrix = self._measure(root)
        self._ids: dict[str, int] = {}
        for element in root.all():
            self._note_id(element)
        place = _Place("", matrix, properties(root, {}), 0, None)
        for child in root.children:
            self._read(child, place)

    def refuse(self, element: Element, text: str) -> None:
        """Note that something keeps the drawing from being used."""
        self.remarks.append(Remark(element.line, text))

    def _measure(self, root: Element) -> tuple[tuple[float, float], Matrix]:
        """The size in mm, and the matrix from user units to mm."""
        try:
            wide, high = (_millimetres(root.attributes.get(name, "")) for name in ("width", "height"))
            x, y, w, h = [float(v) for v in re.split(r"[\s,]+", root.attributes.get("viewBox", "").strip())]
            return (wide, high), Matrix(a=wide / w, d=high / h, e=-x * wide / w, f=-y * high / h)
        except (ValueError, ZeroDivisionError):
            self.refuse(
                root,
                "the drawing needs its size in millimetres and a viewBox, "
                'as in width="510mm" height="1070mm" viewBox="0 0 510 1070"',
            )
            return (510, 1070), Matrix()

    def _note_id(self, element: Element) -> None:
        if not element.id:
            return
        if element.id in self._ids:
            self.refuse(element, f"id '{element.id}' is there twice, first in line {self._ids[element.id]}")
        self._ids.setdefault(element.id, element.line)

    def _read(self, element: Element, place: _Place) -> None:
        if element.tag in IGNORED:
            return
        try:
            inside = self._inside(element, place)
        except ValueError as error:
            self.refuse(element, f"{error} cannot be read")
            return
        if is_hidden(inside.properties):
            return
        if element.tag in ("g", "a"):
            self._group(element, place, inside)
        elif element.tag in SHAPES or element.tag == "text":
            self._draw(element, inside)
        else:
            self.refuse(
                element, f"<{element.tag}> is not read; only groups, shapes, paths and plain text are"
            )

    def _inside(self, element: Element, place: _Place) -> _Place:
        """What holds inside an element."""
        matrix = place.matrix.after(transform(element.attributes.get("transform", "")))
        if not matrix.factor:
            raise ValueError(f"transform '{element.attributes['transform']}'")
        height = number(element.attributes.get("data-height", str(place.height)))
        return _Place(place.role, matrix, properties(element, place.properties), height, place.item)

    def _group(self, element: Element, place: _Place, inside: _Place) -> None:
        role = role_of(element)
        if role and not place.role:
            if role == "guide" and "data-height" not in element.attributes:
                self.refuse(element, 'a guide needs its height in mm, as in data-height="60"')
            inside = inside._replace(role=role)
        elif not place.role and name_of(element):
            near = did_you_mean(element.id, list(ROLES))
            self.refuse(element, f"there is no group '{element.id}'{near or '; ' + ', '.join(ROLES)}")
            return
        elif place.role in (*NAMED, "elastic") and name_of(element) and not place.item:
            inside = inside._replace(item=self._item(element, inside, place.matrix))
        for child in element.children:
            self._read(child, inside)

    def _item(self, element: Element, inside: _Place, outer: Matrix) -> Item:
        item = Item(inside.role, name_of(element), element, outer, inside.height)
        self.items.append(item)
        return item

    def _draw(self, element: Element, inside: _Place) -> None:
        if not inside.role:
            self.refuse(element, f"this <{element.tag}> lies in no group; {', '.join(ROLES)}")
            return
        outer = self._outer(element, inside)
        try:
            if element.tag == "text":
                item = inside.item or Item(inside.role, "", element, outer, inside.height)
                item.texts += texts_of(element, inside.matrix, inside.properties)
                if not inside.item:
                    self.items.append(item)
                return
            part = part_of(element, inside.matrix, inside.properties)
        except ValueError as error:
            self.refuse(element, f"{error} cannot be read")
            return
        if not part.outlines:
            self.refuse(element, f"this <{element.tag}> has no extent")
            return
        item = inside.item or self._item(element, inside, outer)
        item.parts.append(part)

    @staticmethod
    def _outer(element: Element, inside: _Place) -> Matrix:
        """The matrix outside the element's own transform."""
        own = transform(element.attributes.get("transform", ""))
        return inside.matrix.after(own.inverse())


def role_of(element: Element) -> str:
    """The group's role by its id or its layer's name, perhaps with more after a hyphen; "" for none."""
    for word in (element.id, element.label):
        for role in ROLES:
            if re.fullmatch(rf"{role}(\d*|[-_ ].*)", word):
                return role
    return ""


def name_of(element: Element) -> str:
    """The id, unless it is one that editors give by themselves."""
    return "" if _EDITORS_ID.fullmatch(element.id) else element.id


def _millimetres(text: str) -> float:
    found = re.fullmatch(r"\s*([\d.]+)\s*(mm|cm|in)\s*", text)
    value = float(found[1]) * MM[found[2]] if found else 0
    if not SMALLEST <= value <= LARGEST:
        raise ValueError
    return value
