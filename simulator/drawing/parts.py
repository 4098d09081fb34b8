"""Painted shapes and lines of text, in mm: what an element of an SVG looks like."""

from collections.abc import Iterator
from typing import NamedTuple

from simulator.drawing.geometry import Matrix, Point
from simulator.drawing.markup import Element
from simulator.drawing.outlines import Outline, outlines
from simulator.drawing.style import Colour, Style, number, properties, style

CAP = 0.35  # the middle of a capital letter above the base line, in font sizes
FARTHEST = 100_000  # mm


class Part(NamedTuple):
    """One painted shape, in mm."""

    outlines: tuple[Outline, ...]
    style: Style

    def points(self) -> Iterator[Point]:
        """Every point of its outlines."""
        for points, _ in self.outlines:
            yield from points


class Text(NamedTuple):
    """A line of text around its middle (x, y): `size` is the font's in mm, `anchor` as in SVG."""

    words: str
    x: float
    y: float
    size: float
    colour: Colour
    alpha: float
    anchor: str
    degrees: float


def part_of(element: Element, matrix: Matrix, found: dict[str, str]) -> Part:
    """The shape of an element, with the properties `found`. Raises ValueError with what cannot be read."""
    painted = style(found)
    lines = tuple(
        (tuple(matrix.point(*point) for point in points), closed)
        for points, closed in outlines(element)
        if len(set(points)) > 1
    )
    for points, _ in lines:
        if not all(abs(value) < FARTHEST for point in points for value in point):
            raise ValueError(f"a <{element.tag}> that reaches farther than {FARTHEST} mm")
    return Part(lines, painted._replace(width=painted.width * matrix.factor))


def texts_of(element: Element, matrix: Matrix, found: dict[str, str]) -> list[Text]:
    """The lines of a text: its own, and those of the tspans in it. Raises ValueError."""
    lines = [_text(element, element, matrix, found)]
    for span in element.children:
        if span.tag == "tspan":
            lines.append(_text(span, element, matrix, properties(span, found)))
    return [line for line in lines if line.words]


def _text(element: Element, outer: Element, matrix: Matrix, found: dict[str, str]) -> Text:
    painted = style(found)
    x, y = (number(element.attributes.get(name, outer.attributes.get(name, "0"))) for name in ("x", "y"))
    at = matrix.point(x, y - CAP * painted.font_size)
    return Text(
        " ".join(element.text.split()),
        *at,
        painted.font_size * matrix.factor,
        painted.fill or (0, 0, 0),
        painted.fill_alpha,
        painted.anchor,
        matrix.degrees,
    )
