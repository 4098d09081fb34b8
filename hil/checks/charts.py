"""Checks of charts by themselves: states, answers, regions. They work on a game's charts and on any table."""

from collections.abc import Callable, Iterator, Sequence

from firmware.base.errors import ChartError
from firmware.charts.events import EVERY
from firmware.charts.model import FINAL, PARALLEL
from firmware.charts.suggest import did_you_mean
from hil.checks import chart_names
from hil.checks.chart_finding import ChartFinding
from hil.checks.chart_source.places import Place
from hil.checks.chart_source.reading import Chart, ParsedCharts, Transition, overlap

Check = Callable[[ParsedCharts], Iterator[ChartFinding]]


def check(charts: Sequence[Chart]) -> list[ChartFinding]:
    """What is wrong with the charts; names first, because nothing else can be checked before."""
    wrong = list(chart_names.rows(charts))
    if wrong:
        return wrong
    try:
        parsed = ParsedCharts(charts)
        wrong = [found for check in NAMES for found in check(parsed)]
        return wrong or [found for check in CHECKS for found in check(parsed)]
    except ChartError as error:
        return explain_refusal(charts, error)


def explain_refusal(charts: Sequence[Chart], error: ChartError) -> list[ChartFinding]:
    """The packer's error, at the row, state or chart that it names; no finding when it names no chart."""
    place = _place_of(charts, error)
    return [ChartFinding(error.text, place)] if place is not None else []


def _place_of(charts: Sequence[Chart], error: ChartError) -> Place | None:
    for chart in charts:
        name = chart.region.name
        if f"chart '{name}'" in error.text or f"state '{name}/" in error.text:
            for at in range(len(chart.region.rows), 0, -1):
                if f"row {at}" in error.text:
                    return chart.places.row(at - 1)
            for state, place in chart.places.states.items():
                if f"'{name}/{state}'" in error.text or f"'{state}'" in error.text:
                    return place
            return chart.places.whole
    return None


def unreachable(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find states that no sequence of events enters."""
    for state in range(1, len(parsed.tree)):
        if state in parsed.reached or parsed.tree.parent[state] not in parsed.reached:
            continue
        targets = [name for rows in parsed.rows for row in rows for name in row.targets]
        near = did_you_mean(parsed.name(state), targets)
        text = f"state '{parsed.name(state)}' of '{parsed.chart_name(state)}' cannot be reached{near}"
        yield ChartFinding(text, parsed.place(state), fatal=False)


def traps(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find states without a way out, except final ones, a region's only one, and those that are reset."""
    for state in parsed.leaves():
        chart = parsed.charts[parsed.tree.chart[state]]
        if (
            parsed.is_only_leaf(state)
            or not chart.never_reset
            or parsed.tree.kind[state] == FINAL
            or state not in parsed.reached
        ):
            continue
        if not any(_lets_out(parsed, transition, state) for transition in parsed.transitions):
            text = f"state '{parsed.name(state)}' of '{chart.region.name}' has no way out"
            yield ChartFinding(text, parsed.place(state), fatal=False)


def two_answers(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find rows never taken: an earlier row of the state has the event, and no guard or the same one."""
    for at, transition in enumerate(parsed.transitions):
        for first in parsed.transitions[:at]:
            if first.source != transition.source or transition.events == (EVERY,):
                continue
            if first.row.guard and first.row.guard != transition.row.guard:
                continue
            event = overlap(first.events, transition.events)
            if event is not None:
                words = f"{parsed.describe(transition.source)} has two answers to {_event(event)}"
                yield ChartFinding(
                    f"{words}; {_other(first, transition)} is taken, this row never", transition.place
                )
                break


def conflicts(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find rows of parallel regions that one event makes leave the same states: only the first is taken."""
    transitions = [
        transition
        for transition in parsed.transitions
        if transition.targets and transition.source in parsed.reached
    ]
    for at, transition in enumerate(transitions):
        for first in transitions[:at]:
            parallel = parsed.common_parallel(first.source, transition.source)
            event = overlap(first.events, transition.events)
            if parallel < 0 or event is None or _are_exclusive(first, transition):
                continue
            if parsed.contains(first.domain, transition.domain) or parsed.contains(
                transition.domain, first.domain
            ):
                text = (
                    f"{_event(event)} is answered here and by {parsed.describe(first.source)}, but both rows "
                    f"leave the same states; {_other(first, transition)} is taken, this row not"
                )
                yield ChartFinding(text, transition.place, fatal=False)


def resets(parsed: ParsedCharts) -> Iterator[ChartFinding]:
    """Find transitions into one region of a parallel state that make its other regions begin anew."""
    for transition in parsed.transitions:
        for holder in _left_and_entered(parsed, transition):
            regions = parsed.tree.children(holder)
            goals = [t if t >= 0 else parsed.history_parent(t) for t in transition.targets]
            anew = [r for r in regions if not any(parsed.contains(r, goal) for goal in goals)]
            if anew and holder not in goals:
                text = (
                    f"this row leaves {_whole(parsed, holder)} and enters it again: {_listed(parsed, anew)}"
                )
                yield ChartFinding(text, transition.place, fatal=False)


# Help


def _lets_out(parsed: ParsedCharts, transition: Transition, state: int) -> bool:
    """Whether `transition` can be taken in `state` and ends somewhere else."""
    beside = (
        parsed.contains(transition.source, state) or parsed.common_parallel(transition.source, state) >= 0
    )
    leaves = bool(transition.targets) and transition.domain < state < parsed.tree.end[transition.domain]
    return beside and leaves and (transition.by_history or state not in transition.entered)


def _are_exclusive(one: Transition, other: Transition) -> bool:
    """Whether one guard is the negation of the other, on the same object."""
    a, b = one.row.guard, other.row.guard
    return one.chart == other.chart and bool(a and b) and (a == f"not {b}" or b == f"not {a}")


def _left_and_entered(parsed: ParsedCharts, transition: Transition) -> Iterator[int]:
    """The parallel state around source and targets that is left and entered again; at most one."""
    tree = parsed.tree
    for holder in range(len(tree)):
        if (
            tree.kind[holder] != PARALLEL
            or not transition.targets
            or not parsed.contains(holder, transition.source)
        ):
            continue
        goals = [t if t >= 0 else parsed.history_parent(t) for t in transition.targets]
        left = transition.domain == 0 if holder == 0 else tree.within(holder, transition.domain)
        if left and all(parsed.contains(holder, goal) for goal in goals):
            yield holder
            return


def _other(first: Transition, transition: Transition) -> str:
    """The line of another row, with its file where that is another one."""
    line = f"line {first.place.line}"
    return line if first.place.path == transition.place.path else f"{line} of {first.place.path.name}"


def _event(event: str) -> str:
    if event.startswith("after."):
        return f"the time of {event.split('.')[1]} ms"
    return f"the event '{event}'" if event else "no event"


def _whole(parsed: ParsedCharts, holder: int) -> str:
    return f"'{parsed.name(holder)}'" if holder else "every chart"


def _listed(parsed: ParsedCharts, regions: list[int]) -> str:
    names = [f"'{parsed.name(region)}'" for region in regions]
    few = names if len(names) <= 3 else [*names[:2], f"{len(names) - 2} others"]
    words = few[0] if len(few) == 1 else f"{', '.join(few[:-1])} and {few[-1]}"
    return f"{words} {'begins' if len(few) == 1 else 'begin'} anew"


NAMES: tuple[Check, ...] = (chart_names.states, chart_names.actions)
CHECKS: tuple[Check, ...] = (two_answers, unreachable, traps, conflicts, resets)
