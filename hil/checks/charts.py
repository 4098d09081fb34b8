"""Checks of charts by themselves: states, answers, regions. They work on a game's charts and on any table."""

from collections.abc import Callable, Iterator, Sequence

from firmware.base.errors import ChartError
from firmware.charts.events import EVERY
from firmware.charts.model import FINAL, PARALLEL
from firmware.charts.suggest import did_you_mean
from hil.checks import chart_names
from hil.checks.chart_finding import ChartFinding
from hil.checks.chart_source.places import Place
from hil.checks.chart_source.reading import Chart, Move, Reading, overlap

Check = Callable[[Reading], Iterator[ChartFinding]]


def check(charts: Sequence[Chart]) -> list[ChartFinding]:
    """What is wrong with the charts; names first, because nothing else can be checked before."""
    wrong = list(chart_names.rows(charts))
    if wrong:
        return wrong
    try:
        reading = Reading(charts)
        wrong = [found for check in NAMES for found in check(reading)]
        return wrong or [found for check in CHECKS for found in check(reading)]
    except ChartError as error:
        return refused_by_packer(charts, error)


def refused_by_packer(charts: Sequence[Chart], error: ChartError) -> list[ChartFinding]:
    """What the packer refused, at the line of the row or state it names, else of its chart; maybe nothing."""
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


def unreachable(reading: Reading) -> Iterator[ChartFinding]:
    """Every state can be entered."""
    for state in range(1, len(reading.tree)):
        if state in reading.reached or reading.tree.parent[state] not in reading.reached:
            continue
        targets = [name for rows in reading.rows for row in rows for name in row.targets]
        near = did_you_mean(reading.name(state), targets)
        text = f"state '{reading.name(state)}' of '{reading.chart_name(state)}' cannot be reached{near}"
        yield ChartFinding(text, reading.place(state), fatal=False)


def traps(reading: Reading) -> Iterator[ChartFinding]:
    """Every state can be left, but final ones, a region's only one, and those that end with ball or game."""
    for state in reading.leaves():
        chart = reading.charts[reading.tree.chart[state]]
        if (
            reading.alone(state)
            or not chart.rests
            or reading.tree.kind[state] == FINAL
            or state not in reading.reached
        ):
            continue
        if not any(_lets_out(reading, move, state) for move in reading.moves):
            text = f"state '{reading.name(state)}' of '{chart.region.name}' has no way out"
            yield ChartFinding(text, reading.place(state), fatal=False)


def two_answers(reading: Reading) -> Iterator[ChartFinding]:
    """No state has two rows for one event whose guards could both hold."""
    for at, move in enumerate(reading.moves):
        for first in reading.moves[:at]:
            if first.source != move.source or move.hears == (EVERY,):
                continue
            if first.row.guard and first.row.guard != move.row.guard:
                continue
            event = overlap(first.hears, move.hears)
            if event is not None:
                words = f"{reading.words(move.source)} has two answers to {_event(event)}"
                yield ChartFinding(f"{words}; {_other(first, move)} is taken, this row never", move.place)
                break


def conflicts(reading: Reading) -> Iterator[ChartFinding]:
    """No event makes two regions leave the same states, where the first alone would be taken."""
    moves = [move for move in reading.moves if move.targets and move.source in reading.reached]
    for at, move in enumerate(moves):
        for first in moves[:at]:
            parted = reading.together(first.source, move.source)
            event = overlap(first.hears, move.hears)
            if parted < 0 or event is None or _told_apart(first, move):
                continue
            if reading.holds(first.domain, move.domain) or reading.holds(move.domain, first.domain):
                text = (
                    f"{_event(event)} is answered here and by {reading.words(first.source)}, but both rows "
                    f"leave the same states; {_other(first, move)} is taken, this row not"
                )
                yield ChartFinding(text, move.place, fatal=False)


def resets(reading: Reading) -> Iterator[ChartFinding]:
    """No transition to one region of a parallel state makes the others begin anew."""
    for move in reading.moves:
        for holder in _left_and_entered(reading, move):
            regions = reading.tree.children(holder)
            goals = [t if t >= 0 else reading.holder(t) for t in move.targets]
            anew = [r for r in regions if not any(reading.holds(r, goal) for goal in goals)]
            if anew and holder not in goals:
                text = (
                    f"this row leaves {_whole(reading, holder)} and enters it again: {_listed(reading, anew)}"
                )
                yield ChartFinding(text, move.place, fatal=False)


# Help


def _lets_out(reading: Reading, move: Move, state: int) -> bool:
    """Whether `move` can be taken in `state` and ends somewhere else."""
    beside = reading.holds(move.source, state) or reading.together(move.source, state) >= 0
    leaves = bool(move.targets) and move.domain < state < reading.tree.end[move.domain]
    return beside and leaves and (move.recalls or state not in move.entered)


def _told_apart(one: Move, other: Move) -> bool:
    """Whether one guard is the other's opposite, asked of the same object."""
    a, b = one.row.guard, other.row.guard
    return one.chart == other.chart and bool(a and b) and (a == f"not {b}" or b == f"not {a}")


def _left_and_entered(reading: Reading, move: Move) -> Iterator[int]:
    """The parallel states that hold where the move starts and all it aims at, and that it leaves."""
    tree = reading.tree
    for holder in range(len(tree)):
        if tree.kind[holder] != PARALLEL or not move.targets or not reading.holds(holder, move.source):
            continue
        goals = [t if t >= 0 else reading.holder(t) for t in move.targets]
        left = move.domain == 0 if holder == 0 else tree.within(holder, move.domain)
        if left and all(reading.holds(holder, goal) for goal in goals):
            yield holder
            return


def _other(first: Move, move: Move) -> str:
    """The line of another row, with its file where that is another one."""
    line = f"line {first.place.line}"
    return line if first.place.path == move.place.path else f"{line} of {first.place.path.name}"


def _event(event: str) -> str:
    if event.startswith("after."):
        return f"the time of {event.split('.')[1]} ms"
    return f"the event '{event}'" if event else "no event"


def _whole(reading: Reading, holder: int) -> str:
    return f"'{reading.name(holder)}'" if holder else "every chart"


def _listed(reading: Reading, regions: list[int]) -> str:
    names = [f"'{reading.name(region)}'" for region in regions]
    few = names if len(names) <= 3 else [*names[:2], f"{len(names) - 2} others"]
    words = few[0] if len(few) == 1 else f"{', '.join(few[:-1])} and {few[-1]}"
    return f"{words} {'begins' if len(few) == 1 else 'begin'} anew"


NAMES: tuple[Check, ...] = (chart_names.states, chart_names.actions)
CHECKS: tuple[Check, ...] = (two_answers, unreachable, traps, conflicts, resets)
