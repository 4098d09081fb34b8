"""What the standing checks look at, and what they find."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from hil.bench.run_clock import Plant
from hil.bench.view import View
from hil.game_tables import WiringTables

if TYPE_CHECKING:
    from hil.bench.judge import ScoreWatch


@dataclass(frozen=True)
class Evidence:
    """What the standing checks look at; `now_ms` is when the run ended."""

    view: View
    wiring: WiringTables
    now_ms: int
    plant: Plant | None
    balls_a_game: int = 0
    scores: "ScoreWatch | None" = None
    settings: Mapping[str, int] = field(default_factory=dict)
    """Every setting of the run; without them what a setting decides is not judged."""


class Finding(NamedTuple):
    """A failed check: what was expected, what was seen, when."""

    expected: str
    seen: str
    at_ms: int
