"""How far games get in each feature: lit, started, collected, topped."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from hil.bench.names import Names
from hil.season.aggregate import Counts, Sums

STAGES = ("lit", "started", "collected", "topped")
TABLE = "FUNNELS"


class Funnel(NamedTuple):
    """One feature: for each of STAGES what is counted, "" where the feature has no such stage.

    A stage is a state (`region/state`), an award, an event or a cue.
    """

    feature: str
    lit: str
    started: str
    collected: str
    topped: str

    @property
    def stages(self) -> tuple[str, ...]:
        """What is counted for each of STAGES."""
        return self[1:]


def given(rows: Sequence[Sequence[str]], names: Names) -> tuple[Funnel, ...]:
    """The rows of a game's FUNNELS. Raises GameError: a wrong row, or a name that the game has not."""
    known = _known(names)
    for number, row in enumerate(rows, 1):
        if not isinstance(row, tuple) or len(row) != 5 or not all(isinstance(entry, str) for entry in row):
            raise GameError(f"{TABLE}, row {number} is a feature and {', '.join(STAGES)}, not {row!r}")
        for entry in row[1:]:
            if entry and entry not in known:
                near = did_you_mean(entry, sorted(known))
                raise GameError(f"{TABLE}, row {number}: nothing of the game is named '{entry}'{near}")
    return tuple(Funnel(*row) for row in rows)


def derived(names: Names, awards_of: Sequence[str] = ()) -> tuple[Funnel, ...]:
    """Of a game without FUNNELS: of each feature with awards two states, its first and its last award."""
    found = []
    for feature in dict.fromkeys(feature_of(name) for name in awards_of or names.awards):
        awards = [name for name in names.awards if feature_of(name) == feature]
        resting = names.resting.get(feature, "")
        states = [f"{feature}/{leaf}" for leaf in names.leaves.get(feature, ()) if leaf != resting]
        lit, started = [*states, "", ""][:2]
        found.append(Funnel(feature, lit, started, awards[0], awards[-1] if len(awards) > 1 else ""))
    return tuple(found)


def feature_of(award: str) -> str:
    """The feature that pays an award: the part of its name before the first dot."""
    return award.partition(".")[0]


def reached(stage: str, sums: Sums) -> int:
    """In how many games a stage was reached."""
    return _table(stage, sums, "games with ").get(stage, 0)


def times(stage: str, sums: Sums) -> int:
    """How often a stage was reached."""
    return _table(stage, sums, "").get(stage, 0)


def _table(stage: str, sums: Sums, of: str) -> Counts:
    """The table of counts that a stage is in."""
    if "/" in stage:
        return sums.counts.get(f"{of}entered", {})
    for table in ("awards", "events", "cues"):
        if stage in sums.counts.get(f"{of}{table}", {}):
            return sums.counts[f"{of}{table}"]
    return {}


def _known(names: Names) -> set[str]:
    states = {f"{region}/{state}" for region, found in names.regions.items() for state in found}
    return {*states, *names.awards, *names.events, *names.cues}


def never(funnels: Sequence[Funnel], sums: Sums) -> Iterator[str]:
    """`feature: stage` of each stage that no game reached."""
    for funnel in funnels:
        for stage, counted in zip(STAGES, funnel.stages, strict=True):
            if counted and not reached(counted, sums):
                yield f"{funnel.feature}: {stage}"
