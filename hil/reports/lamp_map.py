"""The lamps of a playfield at one moment, drawn as SVG at their places; blinking ones have a ring."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import NamedTuple

from hil.bench.view import OFF, ON, pattern_words

RING = 2.4  # mm


class Spot(NamedTuple):
    """A lamp's place (mm), how far it reaches, and its colours lit and dark as SVG writes them."""

    lamp: str
    x: float
    y: float
    reach: float
    lit: str
    dark: str


def draw(spots: Sequence[Spot], size: tuple[float, float], patterns: Mapping[str, int]) -> str:
    """The playfield, `size` in mm, with every lamp in the pattern that it has; nothing flashes."""
    parts = [f'<svg class="lamps" viewBox="0 0 {size[0]:g} {size[1]:g}" role="img" aria-label="lamps">']
    parts.append(f'<rect class="field" x="0" y="0" width="{size[0]:g}" height="{size[1]:g}" rx="12"/>')
    for spot in spots:
        parts += _spot(spot, patterns.get(spot.lamp, OFF))
    return "\n".join([*parts, "</svg>"])


def _spot(spot: Spot, pattern: int) -> list[str]:
    at = f'cx="{spot.x:.1f}" cy="{spot.y:.1f}"'
    told = f"<title>{escape(spot.lamp)} {pattern_words(pattern)}</title>"
    colour = spot.dark if pattern == OFF else spot.lit
    drawn = [f'<circle {at} r="{spot.reach:.1f}" fill="{colour}">{told}</circle>']
    if pattern not in (OFF, ON):
        drawn.append(f'<circle class="blinks" {at} r="{spot.reach + RING:.1f}"/>')
    return drawn
