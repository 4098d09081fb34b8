"""Checks of the names in a chart: rows that are rows, states, guards and actions that exist."""

from collections.abc import Callable, Iterator, Sequence
from inspect import signature

from firmware.base.errors import ChartError
from firmware.charts.model import ANY, Region, listed
from firmware.charts.row import Row
from firmware.charts.suggest import did_you_mean
from hil.checks.chart_finding import ChartFinding
from hil.checks.chart_source.places import Place
from hil.checks.chart_source.reading import Chart, ParsedCharts, nodes

SHORTEST_SLIP = 3  # a state of one or two letters is no slip for another


def rows(charts: Sequence[Chart]) -> Iterator[ChartFinding]:
    """Every row is one."""
    for region, places, _ in charts:
        for at in range(len(region.rows)):
            try:
                Row(region, at)
            except ChartError as error:
                yield ChartFinding(error.text, places.row(at))


def states(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find rows that name a state which does not exist."""
    for at, chart in enumerate(parsed.charts):
        for row in parsed.rows[at]:
            place = chart.places.row(row.number - 1)
            guard = row.guard.removeprefix("not ").split()
            asked = [guard[1]] if len(guard) == 2 and guard[0] == "in" else []
            for name in (row.state, *row.targets, *asked):
                if name != ANY and not _found(parsed, at, name):
                    known = [*parsed.tree.scopes[at], *map(parsed.tree.path, range(1, len(parsed.tree)))]
                    near = did_you_mean(name, known)
                    yield ChartFinding(f"chart '{chart.region.name}' has no state '{name}'{near}", place)
            for name in row.targets:
                near = _slip(parsed, at, name)
                if near:
                    text = f"no row of '{chart.region.name}' is for the state '{name}', and none declares it"
                    yield ChartFinding(text + near, place)


def _found(parsed: ParsedCharts, chart: int, name: str) -> bool:
    try:
        parsed.tree.find(name, chart, "")
    except ChartError:
        return False
    return True


def _slip(parsed: ParsedCharts, chart: int, name: str) -> str:
    """The near miss of a target that nobody declares and no row is for; a number more or less is none."""
    own = [node.name for node in nodes(parsed.charts[chart].region)]
    own += [row.state for row in parsed.rows[chart] if row.state != ANY]
    if name in own or name not in parsed.tree.scopes[chart] or len(name) < SHORTEST_SLIP:
        return ""
    return did_you_mean(name, [other for other in own if _without_digits(other) != _without_digits(name)])


def _without_digits(name: str) -> str:
    return "".join(letter for letter in name if not letter.isdigit())


def actions(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find actions and guards that are no method of the chart's owner."""
    for at, (region, places, _) in enumerate(parsed.charts):
        if region.owner is None:
            continue
        for row in parsed.rows[at]:
            place = places.row(row.number - 1)
            yield from _methods(region, row.does, "does", place)
            yield from _methods(region, _asked(row.guard), "asks", place)
            if row.after and isinstance(row.after.ms, str) and not hasattr(region.owner, row.after.ms):
                text = f"{type(region.owner).__name__} has no '{row.after.ms}', which this row waits for"
                yield ChartFinding(text, place)
        for node in nodes(region):
            place = places.states.get(node.name, places.whole)
            yield from _methods(region, listed(node.enter), f"'{node.name}' does on entry", place)
            yield from _methods(region, listed(node.exit), f"'{node.name}' does on exit", place)
            yield from _methods(region, listed(node.does), f"'{node.name}' does", place)


def _asked(guard: str) -> tuple[str, ...]:
    name = guard.removeprefix("not ").strip()
    return (name,) if name and " " not in name else ()


def _methods(region: Region, names: tuple[str, ...], who: str, place: Place) -> Iterator[ChartFinding]:
    owner = region.owner
    by = f"this row {who}" if who in ("does", "asks") else who
    for name in names:
        if not callable(getattr(owner, name, None)):
            known = [known for known in dir(owner) if not known.startswith("_")]
            near = did_you_mean(name, known)
            yield ChartFinding(f"{type(owner).__name__} has no method '{name}', which {by}{near}", place)
        elif not _takes_an_event(getattr(owner, name)):
            text = f"{type(owner).__name__}.{name} is called with the event; write def {name}(self, event)"
            yield ChartFinding(text, place)


def _takes_an_event(method: Callable[[int], object]) -> bool:
    try:
        signature(method).bind(0)
    except TypeError:
        return False
    except ValueError:
        return True  # it has no signature to be read
    return True
