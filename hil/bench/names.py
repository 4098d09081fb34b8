"""The names for the ids in a trace: one list for each kind of record, whose positions are the ids."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from firmware.charts.model import Region
from firmware.charts.row import rows_of
from firmware.console import Console
from firmware.play.feature import Feature
from hil.game_tables import TWO_LINES, DisplayRow, display_rows

SHARED = ("firmware.cabinet.", "firmware.parts.", "firmware.operator.")  # where features of every game are


@dataclass(frozen=True)
class Row:
    """One transition of a region: a MOVE record's id is its position in `Names.rows`."""

    region: str
    source: str
    event: str
    rest: str = ""
    """Its targets and its guard, in words."""
    guard: str = ""
    leads: bool = False
    """Whether it has targets: a row without any stays in its state."""


@dataclass(frozen=True)
class Names:
    """The names of one game's ids."""

    switches: Sequence[str]
    lamps: Sequence[str]
    coils: Sequence[str]
    displays: Sequence[DisplayRow] = TWO_LINES
    cues: Sequence[str] = ()
    awards: Sequence[str] = ()
    events: Sequence[str] = ()
    values: Sequence[str] = ()
    windows: Sequence[str] = ()
    rows: Sequence[Row] = ()
    states: Sequence[str] = ()
    regions: dict[str, tuple[str, ...]] = field(default_factory=dict)
    leaves: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """By region: the states that hold no other."""
    resting: dict[str, str] = field(default_factory=dict)
    """By region: its state before the first move."""
    own: tuple[str, ...] = ()
    """The regions of the game's own features; the others are the cabinet's."""
    spans: dict[str, int] = field(default_factory=dict)
    """By region: how long its state lasts, a span of `firmware.play.memory`."""


def of_console(console: Console) -> Names:
    """The names of a game, from a console on which nothing was played yet."""
    features = console.play.features
    table = console.table
    names = [path.rpartition("/")[2] for path in table.names]
    charts = [names[table.roots[chart]] for chart in range(table.charts)]
    return Names(
        switches=tuple(console.switch_names),
        lamps=tuple(console.lamp_names),
        coils=tuple(console.coil_names),
        displays=display_rows(console.play.wiring),
        cues=tuple(console.cue_names),
        awards=tuple(console.award_names),
        events=tuple(console.events.names()),
        values=tuple(value.name for value in console.memory.values),
        windows=tuple(window.name for window in console.play.windows),
        rows=_rows(features),
        states=tuple(names),
        regions={
            charts[chart]: tuple(names[root + 1 : table.end[root]])
            for chart, root in enumerate(table.roots[: table.charts])
        },
        leaves={
            charts[chart]: tuple(
                names[state] for state in range(root + 1, table.end[root]) if table.end[state] == state + 1
            )
            for chart, root in enumerate(table.roots[: table.charts])
        },
        resting={charts[chart]: names[console.engine.leaf[chart]] for chart in range(table.charts)},
        own=tuple(feature.name for feature in features if not _is_shared(feature)),
        spans={feature.name: feature.span for feature in features},
    )


def _is_shared(feature: Feature) -> bool:
    """Whether a feature comes with the firmware, and not with a game."""
    return type(feature).__module__.startswith(SHARED)


def _rows(features: Sequence[Feature]) -> tuple[Row, ...]:
    found = []
    for feature in features:
        for row in rows_of(Region(feature.name, feature, feature.chart, feature.states)):
            event = f"after {row.after.ms} ms" if row.after else " ".join(row.hears) or "at once"
            leads = f" to {', '.join(row.targets)}" if row.targets else ""
            guard = f" when {row.guard}" if row.guard else ""
            found.append(Row(feature.name, row.state, event, leads + guard, row.guard, bool(row.targets)))
    return tuple(found)
