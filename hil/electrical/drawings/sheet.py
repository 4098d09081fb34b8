"""A drawing sheet: schemdraw elements at given places, wires along given points, notes in plain words."""

from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from firmware.base.errors import UsageError

if TYPE_CHECKING:
    from schemdraw.elements import Element2Term

Point = tuple[float, float]
Align = Literal["left", "center", "right"]
FONT = 11
SMALL = 9.5
NET = 7.5
SHIFT = 0.1  # schemdraw puts a label so far to the right of its point, and above it
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
        self.ends: dict[tuple[str, str], Point] = {}  # where each pin ends
        self.names: dict[Point, set[str]] = {}  # the nets written at points
        self._extent = (0.0, 0.0, 0.0, 0.0)  # left, low, right, high
        self._drawing = schemdraw.Drawing(show=False, fontsize=FONT, unit=2, lw=1.4, font="sans-serif")

    def put(self, kind: "Element2Term", at: Point, to: Point) -> None:
        """Draw a two-ended element from `at` to `to`."""
        self._drawing.add(kind.at(at).to(to))

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

    def p_mosfet(self, source: Point) -> None:
        """Draw a P-channel MOSFET, gate to the left, source above."""
        self._drawing.add(self.elements.PFet().at(source).theta(0).reverse().anchor("source"))

    def text(self, at: Point, words: str, size: float = SMALL, align: Align = "left") -> None:
        """Write text whose left end, centre or right end is at the point."""
        self._widen(at, words, size, align)
        label = self.elements.Label().at((at[0] - SHIFT, at[1] - SHIFT)).theta(0)
        self._drawing.add(
            label.label(words, loc="center", fontsize=size, halign=align, valign="center", ofst=(0, 0))
        )

    def box(self, at: Point, width: float, height: float, name: str, size: float = FONT) -> None:
        """Draw a block with its lower left corner at the point and its name in the middle."""
        x, y = at
        self.wire((x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y))
        if name:
            self.text((x + width / 2, y + height / 2), name, size, "center")

    def end(self, mark: str, number: str, at: Point) -> None:
        """Record where a pin ends."""
        self.ends[mark, number] = _rounded(at)

    def net(self, name: str, at: Point, align: Align) -> None:
        """Write a net's name at a point: beside it, or below it when `center`."""
        self.names.setdefault(_rounded(at), set()).add(name)
        dx, dy = {"right": (-0.16, 0.0), "left": (0.16, 0.0), "center": (0.0, -0.28)}[align]
        self.text((at[0] + dx, at[1] + dy), name, NET, align)

    def open_dot(self, at: Point) -> None:
        """Draw a test point's ring."""
        self._drawing.add(self.elements.Dot(open=True).at(at))

    def cross(self, at: Point) -> None:
        """Draw the sign of a pin that is connected to nothing."""
        x, y = at
        for dy in (0.12, -0.12):
            self._drawing.add(self.elements.Line(lw=1).at((x - 0.12, y - dy)).to((x + 0.12, y + dy)))

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


def _rounded(at: Point) -> Point:
    return round(at[0], 3), round(at[1], 3)
