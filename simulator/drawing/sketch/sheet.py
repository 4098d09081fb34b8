"""A drawing in the making: SVG elements by group, and where named things lie so far."""

import re
from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from simulator.drawing.colours import hexadecimal, unlit
from simulator.drawing.geometry import Point, direction

WIDE, HIGH = 510, 1070
METAL, WIRE, DARK, STEEL = "#b0b4b6", "#7c807a", "#0e0c0a", "#a8a08c"
TARGET = "#e2c478"
RIM, FAINT = "#6c6658", "#b2a88a"
LETTER = 0.72  # a capital letter's width, in font sizes
SMALLEST = 7.0  # font size, mm: where words were smaller they get a second line
FONT = 'font-family="sans-serif" font-weight="bold"'
GROUPS = (
    ("art", ""),
    ("fixed", f'fill="none" stroke="{STEEL}" stroke-width="5" stroke-linecap="round"'),
    ("one-way", f'fill="none" stroke="{METAL}" stroke-width="2"'),
    ("guide", 'data-height="60"'),
    ("elastic", ""),
    ("sensor", f'fill="none" stroke="{WIRE}" stroke-width="3" stroke-linecap="round"'),
    ("light", f'stroke="{RIM}" stroke-width="1.5"'),
    ("coil", f'fill="none" stroke="{METAL}" stroke-width="4" stroke-linecap="round"'),
    ("route", 'fill="none" stroke="#4a90d9" stroke-width="0.5"'),
)


class Sheet:
    """Elements by group; `places` has the middle of everything named, `taken` every spot with something."""

    def __init__(self) -> None:
        self._groups: dict[str, list[str]] = {name: [] for name, _ in GROUPS}
        self.places: dict[str, Point] = {}
        self.insert_spots: dict[str, Point] = {}
        self.taken: list[Point] = []
        self._inserts: set[str] = set()

    def add(self, group: str, tag: str, **attributes: object) -> None:
        """An element; an underscore in an attribute's name is a hyphen in the file."""
        words = " ".join(
            f"{name.rstrip('_').replace('_', '-')}={quoteattr(_word(value))}"
            for name, value in attributes.items()
        )
        self._groups[group].append(f"<{tag} {words}/>")

    def text(
        self,
        group: str,
        words: str,
        x: float,
        y: float,
        size: float,
        fill: str = "#e2d6b8",
        anchor: str = "middle",
    ) -> None:
        """A line of text around (x, y), or one that starts or ends there."""
        at = f'x="{_word(x)}" y="{_word(y + 0.35 * size)}" font-size="{_word(size)}" text-anchor="{anchor}"'
        self._groups[group].append(f'<text {at} fill="{fill}" stroke="none" {FONT}>{escape(words)}</text>')

    def caption(self, name: str, x: float, y: float, wide: float = 44, group: str = "art") -> None:
        """What something is called, in one line from (x, y) or in two."""
        words = words_of(name)
        first, _, second = words.partition(" ")
        lines = [first, second] if second and fitting(words, wide) < SMALLEST else [words]
        size = min(fitting(line, wide) for line in lines)
        for number, line in enumerate(lines):
            self.text(group, line, x, y + number * 1.1 * size, size, FAINT)

    def has_insert(self, lamp: str) -> bool:
        """Whether a lamp has its insert already."""
        return lamp in self._inserts

    def name(self, name: str, x: float, y: float, lamp: Point | None = None) -> None:
        """Note where a switch lies, and where a lamp of the same name goes."""
        self.places[name] = (x, y)
        self.taken.append((x, y))
        if lamp is not None:
            self.insert_spots[name] = lamp

    def rollover(self, name: str, x: float, y: float, lamp: Point | None = None) -> None:
        """A wire that a ball rolls over."""
        self.add("sensor", "line", id=name, x1=x, y1=y - 11, x2=x, y2=y + 11)
        self.name(name, x, y, lamp or (x, y + 30))

    def gate(self, name: str, x: float, y: float, half: float = 18) -> None:
        """A gate or spinner across a lane."""
        self.add("sensor", "line", id=name, x1=x - half, y1=y, x2=x + half, y2=y)
        self.name(name, x, y, (x, y + 26))

    def ring(self, name: str, x: float, y: float, radius: float = 16, lamp: Point | None = None) -> None:
        """A hole or a ball's slot."""
        self.add("sensor", "circle", id=name, cx=x, cy=y, r=radius, fill=DARK)
        self.name(name, x, y, lamp or (x, y + 34))

    def target(self, name: str, x: float, y: float, side: str) -> None:
        """A target whose face looks to `side`: "down", "left" or "right"."""
        wide, high = (25, 7) if side == "down" else (7, 25)
        at = {"x": x - wide / 2, "y": y - high / 2, "width": wide, "height": high, "rx": 1.5}
        self.add("sensor", "rect", id=name, **at, fill=TARGET, stroke="none")
        lamps = {"down": (x, y + 28), "left": (x - 30, y), "right": (x + 30, y)}
        self.name(name, x, y, lamps[side])

    def insert(self, lamp: str, colour: str, x: float, y: float, radius: float = 10) -> None:
        """A round insert."""
        self._inserts.add(lamp)
        self.add("light", "circle", id=f"{lamp}-lamp", cx=x, cy=y, r=radius, fill=hexadecimal(unlit(colour)))
        self.taken.append((x, y))

    def kicker(self, coil: str, at: Point, towards: Point, length: float = 9) -> None:
        """A coil's arrow."""
        u, v = direction(at, towards)
        self.add(
            "coil",
            "line",
            id=f"{coil}-kick",
            x1=at[0],
            y1=at[1],
            x2=at[0] + u * length,
            y2=at[1] + v * length,
        )

    def svg(self) -> str:
        """The whole file."""
        size = f'width="{WIDE}mm" height="{HIGH}mm" viewBox="0 0 {WIDE} {HIGH}"'
        lines = [f'<svg xmlns="http://www.w3.org/2000/svg" {size}>']
        for name, style in GROUPS:
            if self._groups[name]:
                lines.append(f'<g id="{name}"{" " + style if style else ""}>')
                lines += [f"  {element}" for element in self._groups[name]]
                lines.append("</g>")
        return "\n".join([*lines, "</svg>", ""])


def words_of(name: str) -> str:
    """A name as it is written on a playfield."""
    return re.sub(r"[._]", " ", name).upper()


def fitting(words: str, wide: float) -> float:
    """The font size (mm) with which words are no wider than `wide`."""
    return round(min(9.0, wide / max(1, len(words)) / LETTER), 1)


def spread(count: int, middle: float, step: float) -> Iterable[float]:
    """So many numbers, evenly around `middle`."""
    return [middle + step * (at - (count - 1) / 2) for at in range(count)]


def _word(value: object) -> str:
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else str(value)
