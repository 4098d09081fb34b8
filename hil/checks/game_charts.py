"""The charts of a whole game, checked together with who raises and who hears what."""

from collections.abc import Iterable
from pathlib import Path

from firmware.base.errors import ChartError
from firmware.charts.model import Region
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from hil.checks import chart_events, charts
from hil.checks.chart_events import Overheard
from hil.checks.chart_finding import ChartFinding
from hil.checks.chart_source import places
from hil.checks.chart_source.reading import Chart, Reading


def of_features(features: Iterable[Feature]) -> list[Chart]:
    """Each feature's chart with its lines; what lasts a ball, a player's turn or a game is reset after it."""
    return [
        Chart(Region(f.name, f, f.chart, f.states), places.of_feature(f), rests=f.span == PERSISTENT)
        for f in features
    ]


def refused(console: Overheard, folder: Path, error: ChartError) -> list[ChartFinding]:
    """Why charts could not be packed; nothing when another part of the game is to blame."""
    problems = check(console, folder)
    if any(one.fatal for one in problems):
        return problems
    return charts.refused_by_packer(of_features(console.play.features), error)


def check(console: Overheard, folder: Path) -> list[ChartFinding]:
    """What is wrong with the charts of a console that is set up, as far as that went."""
    own = of_features(console.play.features)
    problems = charts.check(own)
    if any(one.fatal for one in problems):
        return problems
    reading = Reading(own)
    problems += chart_events.unraised(reading, console.raised())
    return [*problems, *chart_events.unheard(reading, console.handles, folder)]
