"""What became of the balls that rolled on one table."""

from typing import NamedTuple


class Tally(NamedTuple):
    """What became of one table's balls: points (mm) where they left it and where they lay still too long."""

    balls: int
    left: list[tuple[float, float]]
    lodged: list[tuple[float, float]]
    longest_ms: int = 0
    nudges: int = 0
    """How often the cabinet was nudged since a ball lay still."""
