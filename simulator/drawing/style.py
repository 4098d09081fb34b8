"""How an element is painted: fill, stroke and letters, inherited as SVG does it."""

import re
from typing import NamedTuple

from simulator.drawing.markup import Element

Colour = tuple[int, int, int]

NAMED: dict[str, Colour] = {
    "black": (0, 0, 0),
    "silver": (192, 192, 192),
    "gray": (128, 128, 128),
    "grey": (128, 128, 128),
    "white": (255, 255, 255),
    "maroon": (128, 0, 0),
    "red": (255, 0, 0),
    "purple": (128, 0, 128),
    "fuchsia": (255, 0, 255),
    "green": (0, 128, 0),
    "lime": (0, 255, 0),
    "olive": (128, 128, 0),
    "yellow": (255, 255, 0),
    "navy": (0, 0, 128),
    "blue": (0, 0, 255),
    "teal": (0, 128, 128),
    "aqua": (0, 255, 255),
    "orange": (255, 165, 0),
    "brown": (165, 42, 42),
    "violet": (238, 130, 238),
    "pink": (255, 192, 203),
    "gold": (255, 215, 0),
}
INHERITED = (
    "fill",
    "stroke",
    "stroke-width",
    "fill-opacity",
    "stroke-opacity",
    "font-size",
    "text-anchor",
    "visibility",
)
LARGEST = 1e6
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.IGNORECASE)
_UNITS = {"": 1.0, "px": 1.0, "mm": 96 / 25.4, "cm": 960 / 25.4, "in": 96.0, "pt": 96 / 72, "%": 0.01}


class Style(NamedTuple):
    """Resolved paint in user units; a colour is None where nothing is painted."""

    fill: Colour | None
    stroke: Colour | None
    width: float
    fill_alpha: float
    stroke_alpha: float
    font_size: float
    anchor: str


def properties(element: Element, inherited: dict[str, str]) -> dict[str, str]:
    """The element's painting properties over those that it inherits; `style` wins over attributes."""
    found = dict(inherited)
    own = {name: element.attributes[name] for name in (*INHERITED, "display") if name in element.attributes}
    for piece in element.attributes.get("style", "").split(";"):
        name, colon, value = piece.partition(":")
        if colon:
            own[name.strip()] = value.strip()
    opacity = own.get("opacity", element.attributes.get("opacity", "1"))
    found["opacity"] = str(number(opacity) * number(found.get("opacity", "1")))
    found.update({name: own[name] for name in INHERITED if name in own and own[name] != "inherit"})
    found["display"] = own.get("display", "inline")
    return found


def is_hidden(found: dict[str, str]) -> bool:
    """Whether nothing of the element is shown."""
    return found.get("display") == "none" or found.get("visibility") == "hidden"


def style(found: dict[str, str]) -> Style:
    """The paint of these properties. Raises ValueError with what cannot be read."""
    opacity = number(found.get("opacity", "1"))
    return Style(
        colour(found.get("fill", "black")),
        colour(found.get("stroke", "none")),
        number(found.get("stroke-width", "1")),
        opacity * number(found.get("fill-opacity", "1")),
        opacity * number(found.get("stroke-opacity", "1")),
        number(found.get("font-size", "16")),
        found.get("text-anchor", "start"),
    )


def colour(text: str) -> Colour | None:
    """A colour; None for "none". Raises ValueError."""
    word = text.strip().lower()
    if word in ("none", "transparent"):
        return None
    if word in NAMED:
        return NAMED[word]
    if re.fullmatch(r"#[0-9a-f]{6}", word):
        return int(word[1:3], 16), int(word[3:5], 16), int(word[5:7], 16)
    if re.fullmatch(r"#[0-9a-f]{3}", word):
        return int(word[1] * 2, 16), int(word[2] * 2, 16), int(word[3] * 2, 16)
    parts = re.fullmatch(r"rgb\(\s*(\d+)\s*,\s*(\d+)\s*,\s*(\d+)\s*\)", word)
    if parts and all(int(part) <= 255 for part in parts.groups()):
        return int(parts[1]), int(parts[2]), int(parts[3])
    raise ValueError(f"colour '{text}'")


def number(text: str) -> float:
    """A length or number in user units. Raises ValueError."""
    found = _NUMBER.match(text.strip())
    unit = text.strip()[found.end() :].strip() if found else "?"
    if found is None or unit not in _UNITS:
        raise ValueError(f"number '{text}'")
    value = float(found[0]) * _UNITS[unit]
    if abs(value) > LARGEST:
        raise ValueError(f"number '{text}'")
    return value
