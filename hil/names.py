"""The names behind the numbers of a trace: one list for each kind, positions are ids."""

from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Row:
    """One transition of a region: what the MOVE record's id stands for."""

    region: str
    source: str
    event: str


@dataclass(frozen=True)
class Names:
    """What the records' ids mean for one game."""

    switches: Sequence[str]
    lamps: Sequence[str]
    coils: Sequence[str]
    cues: Sequence[str] = ()
    awards: Sequence[str] = ()
    events: Sequence[str] = ()
    values: Sequence[str] = ()
    rows: Sequence[Row] = ()
    states: Sequence[str] = ()
    regions: dict[str, tuple[str, ...]] = field(default_factory=dict)
    resting: dict[str, str] = field(default_factory=dict)
    """Where each region rests before the first move."""
