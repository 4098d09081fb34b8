"""A drawing sheet: schemdraw elements at given places, wires along given points, notes in plain words."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from firmware.base.errors import UsageError

if TYPE_CHECKING:
    from schemdraw.elements import Element, Element2Term

Point = tuple[float, float]
Align = Literal["left", "center", "right"]
FONT = 11
SMALL = 9.5
LETTER = 0.55  # a letter's mean width as part of its size
POINTS_PER_UNIT = 36
MARGIN = 0.6


class Sheet:
    """One SVG; x to the right, y up, in schemdraw units. Raises UsageError without schemdraw."""

    def __init__(self, title: str) -> None:
        try:
            import schemdraw  # loaded only here: it is an optional package
            import schemdraw.elements as elements
        except ImportError:
            raise UsageError("drawings need schemdraw: pip install 'inlane[draw]'") from None
        schemdraw.use("svg")
        self.elements = elements
        self.title = title
        self.texts: list[tuple[float, float, float, float, str]] = []
        self._extent = (0.0, 0.0, 0.0, 0.0)  # left, low, right, high
        self._drawing = schemdraw.Drawing(show=False, fontsize=FONT, unit=2, lw=1.4, font="sans-serif")

    def put(
        self, kind: "Element2Term", at: Point, to: Point, label: str = "", dx: float = 0.0, dy: float = 0.0
    ) -> None:
        """Draw a two-ended element from `at` to `to`; its label to the right when upright, else above."""
        self._drawing.add(kind.at(at).to(to))
        if not label:
            return
        x, y = (at[0] + to[0]) / 2, (at[1] + to[1]) / 2
        if at[0] == to[0]:
            self.text((x + 0.5 + dx, y + dy), label)
        else:
            lines = label.count("\n")
            self.text((x + dx, y + 0.6 + 0.18 * lines + dy), label, SMALL, "center")

    def mosfet(self, drain: Point) -> tuple[Point, Point]:
        """Draw an N-channel MOSFET, gate to the left; returns the points of its gate and source."""
        self._drawing.add(self.elements.NFet().at(drain).theta(0).reverse().anchor("drain"))
        x, y = drain
        return (x - 1.3667, y - 0.75), (x, y - 1.5)

    def wire(self, *points: Point) -> None:
        """Draw a wire through the points."""
        for start, end in pairwise(points):
            self._drawing.add(self.elements.Line().at(start).to(end))

    def dot(self, *points: Point) -> None:
        """Draw a dot at each junction of wires."""
        for point in points:
            self._drawing.add(self.elements.Dot().at(point))

    def ground(self, at: Point) -> None:
        """Draw the 0 V symbol of the star point."""
        self._drawing.add(self.elements.Ground().at(at))

    def p_mosfet(self, source: Point) -> None:
        """Draw a P-channel MOSFET, gate to the left, source above."""
        self._drawing.add(self.elements.PFet().at(source).theta(0).reverse().anchor("source"))

    def text(self, at: Point, words: str, size: float = SMALL, align: Align = "left") -> None:
        """Write text whose left end, centre or right end is at the point."""
        self._widen(at, words, size, align)
        label = self.elements.Label().at(at)
        self._drawing.add(
            label.label(words, loc="center", fontsize=size, halign=align, valign="center", ofst=(0, 0))
        )

    def box(self, at: Point, width: float, height: float, name: str, size: float = FONT) -> None:
        """Draw a block with its lower left corner at the point and its name in the middle."""
        x, y = at
        self.wire((x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y))
        if name:
            self.text((x + width / 2, y + height / 2), name, size, "center")

    def dashed(self, at: Point, width: float, height: float, name: str) -> None:
        """Draw a dashed frame around parts that are off the board, its name above."""
        x, y = at
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y))
        for start, end in pairwise(corners):
            self._drawing.add(self.elements.Line(ls="--", lw=1).at(start).to(end))
        self.text((x, y + height + 0.25), name)

    def test_point(self, at: Point, name: str, dx: float = 0.0, dy: float = 0.35) -> None:
        """Draw a test point."""
        self._drawing.add(self.elements.Dot(open=True).at(at))
        self.text((at[0] + dx, at[1] + dy), name, SMALL, "center")

    def terminal(self, at: Point, name: str, align: Align = "right") -> None:
        """Draw the end of a wire that leaves the sheet."""
        self._drawing.add(self.elements.Dot(open=True).at(at))
        dx = -0.25 if align == "right" else 0.25
        self.text((at[0] + dx, at[1]), name, SMALL, align)

    def rail(self, at: Point, name: str) -> None:
        """Draw the symbol of a supply rail."""
        make_arrow: Callable[[], Element] = self.elements.Vdd  # schemdraw leaves this class untyped
        self._drawing.add(make_arrow().at(at))
        self.text((at[0], at[1] + 0.75), name, SMALL, "center")

    def _widen(self, at: Point, words: str, size: float, align: Align) -> None:
        """Extend the sheet to the text: schemdraw's own frame cuts text off."""
        lines = words.split("\n")
        width = max(len(line) for line in lines) * size * LETTER / POINTS_PER_UNIT
        height = len(lines) * size * 1.3 / POINTS_PER_UNIT
        left = at[0] - {"left": 0.0, "center": width / 2, "right": width}[align]
        low, high = at[1] - height / 2, at[1] + height / 2
        x1, y1, x2, y2 = self._extent
        self._extent = (min(x1, left), min(y1, low), max(x2, left + width), max(y2, high))
        self.texts.append((left, low, left + width, high, words))

    def svg(self) -> str:
        """The drawing as SVG."""
        x1, y1, x2, y2 = self._extent
        for corner in ((x1 - MARGIN, y1 - MARGIN), (x2 + MARGIN, y2 + MARGIN)):
            self._drawing.add(self.elements.Line(color="white").at(corner).to((corner[0], corner[1] + 0.01)))
        data = self._drawing.get_imagedata("svg")
        return data.decode("utf-8") if isinstance(data, bytes) else str(data)

    def write(self, path: Path) -> None:
        """Write the drawing as SVG."""
        path.write_text(self.svg(), encoding="utf-8")
