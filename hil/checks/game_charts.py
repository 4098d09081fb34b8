"""Checks the charts of a whole game: each by itself, then the events that pass between them."""

from collections.abc import Iterable
from pathlib import Path

from firmware.base.errors import ChartError
from firmware.charts.model import Region
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT
from hil.checks import chart_events, charts
from hil.checks.chart_events import HandleRecorder
from hil.checks.chart_finding import ChartFinding
from hil.checks.chart_source import places
from hil.checks.chart_source.reading import Chart, ParsedCharts


def of_features(features: Iterable[Feature]) -> list[Chart]:
    """Each feature's chart with its places in the source; only a PERSISTENT feature's is never reset."""
    return [
        Chart(Region(f.name, f, f.chart, f.states), places.of_feature(f), never_reset=f.span == PERSISTENT)
        for f in features
    ]


def explain_refusal(console: HandleRecorder, folder: Path, error: ChartError) -> list[ChartFinding]:
    """Findings for charts that the packer refused with `error`; none when the error is not of a chart."""
    problems = check(console, folder)
    if any(one.fatal for one in problems):
        return problems
    return charts.explain_refusal(of_features(console.play.features), error)


def check(console: HandleRecorder, folder: Path) -> list[ChartFinding]:
    """Every finding on the charts of `console`, also of one whose set-up stopped at an error."""
    own = of_features(console.play.features)
    problems = charts.check(own)
    if any(one.fatal for one in problems):
        return problems
    parsed = ParsedCharts(own)
    problems += chart_events.unraised(parsed, console.raised())
    return [*problems, *chart_events.unheard(parsed, console.handles, folder)]
