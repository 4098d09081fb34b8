"""Parses charts for tools: the tree of states and every row as a Transition, without packing them.

States are numbers in the tree; 0 is the machine that holds every chart. Domains and entry sets come from
the packer's own modules, so that a Transition is what the engine does.
"""

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

from firmware.charts.events import EVERY, hears
from firmware.charts.model import ANY, PARALLEL, Node, Region
from firmware.charts.paths import Paths
from firmware.charts.row import Row, rows_of
from firmware.charts.tree import Tree
from hil.checks.chart_source.places import Place, Places

TIMED = "after."  # the first token of a timed transition's event in `Transition.events`


class Chart(NamedTuple):
    """One region as written, and where. `never_reset`: no ball, turn or game resets its states."""

    region: Region
    places: Places
    never_reset: bool = True


class Transition(NamedTuple):
    """One row: its source, targets, event descriptors and domain, and the states it enters.

    `events` of an eventless row is ("",). `by_history`: a history decides what is entered; `entered` is then
    the set while the history is empty. A target below 0 is a history.
    """

    chart: int
    row: Row
    place: Place
    source: int
    targets: tuple[int, ...]
    events: tuple[str, ...]
    domain: int
    entered: frozenset[int]
    by_history: bool = False


class ParsedCharts:
    """Several charts of one machine. Raises ChartError: a malformed row, or two states with one name.

    `transitions` and what is computed from them raise ChartError when a row names an unknown state.
    """

    def __init__(self, charts: Sequence[Chart]) -> None:
        self.charts = charts
        regions = [chart.region for chart in charts]
        self.rows = [rows_of(region) for region in regions]
        self.tree = Tree(regions, self.rows)
        tree = self.tree
        self._paths = Paths(
            tree.parent, tree.end, tree.kind, tree.initial, tree.histories, [0] * (2 * len(tree) + 2)
        )

    @cached_property
    def transitions(self) -> list[Transition]:
        """Every row, in order."""
        return [
            self._transition(at, row, chart.places.row(row.number - 1))
            for at, chart in enumerate(self.charts)
            for row in self.rows[at]
        ]

    @cached_property
    def reached(self) -> set[int]:
        """Every state that some sequence of events could enter."""
        reached = {0}
        for root in self.tree.roots[: len(self.charts)]:
            self._paths.start(root)
            reached |= self._entered()
        before = 0
        while len(reached) > before:
            before = len(reached)
            for transition in self.transitions:
                if transition.source in reached:
                    reached |= transition.entered
            for history in self.tree.histories:
                if not history.deep and history.parent in reached:
                    reached |= self._entered_by_history(history.parent, reached)
        return reached

    def _entered_by_history(self, parent: int, reached: set[int]) -> set[int]:
        """What a shallow history in `parent` can enter: each reached child and its initial states."""
        found: set[int] = set()
        for child in self.tree.children(parent):
            if child in reached:
                self._paths.start(child)
                found |= self._entered()
        return found

    def _transition(self, chart: int, row: Row, place: Place) -> Transition:
        tree = self.tree
        source = tree.roots[chart] if row.state == ANY else tree.find(row.state, chart, row.where)
        targets = tuple(tree.find(name, chart, row.where) for name in row.targets)
        events = (f"{TIMED}{row.after.ms}.{tree.path(source)}",) if row.after else row.hears or ("",)
        if not targets:
            return Transition(chart, row, place, source, (), events, 0, frozenset())
        inner = tuple(target if target >= 0 else self.history_parent(target) + 1 for target in targets)
        domain = self._paths.domain(source, inner, row.external)
        self._paths.entry(targets, domain)
        entered, by_history = self._entered(), self._paths.recalled
        return Transition(chart, row, place, source, targets, events, domain, entered, by_history)

    def _entered(self) -> frozenset[int]:
        out = self._paths.out
        return frozenset(out[: list(out).index(0)])

    # Questions about states

    def history_parent(self, target: int) -> int:
        """The parent state of the history that `target`, below 0, stands for."""
        return self.tree.histories[-1 - target].parent

    def name(self, state: int) -> str:
        """A state's own name; for the root of a chart, the chart's name."""
        return self.tree.names[state]

    def chart_name(self, state: int) -> str:
        """The name of the chart that holds a state."""
        return self.charts[self.tree.chart[state]].region.name

    def place(self, state: int) -> Place:
        """Where a state is written: its declaration, else the first row with it as source, else as target."""
        chart = self.charts[self.tree.chart[state]]
        name = self.name(state)
        if name in chart.places.states:
            return chart.places.states[name]
        rows = self.rows[self.tree.chart[state]]
        named = [row for row in rows if row.state == name] or [row for row in rows if name in row.targets]
        return chart.places.row(named[0].number - 1) if named else chart.places.whole

    def describe(self, state: int) -> str:
        """A state in the words of a message."""
        if not self.tree.parent[state]:
            return f"chart '{self.name(state)}'"
        return f"state '{self.name(state)}' of '{self.chart_name(state)}'"

    def is_only_leaf(self, state: int) -> bool:
        """Whether a state is the only leaf of its region."""
        region = self.tree.region[state]
        return all(other == state or self.tree.region[other] != region for other in self.leaves())

    def leaves(self) -> Iterator[int]:
        """The states without children; a chart without states has none."""
        for state in range(1, len(self.tree)):
            if self.tree.end[state] == state + 1 and self.tree.parent[state]:
                yield state

    def contains(self, state: int, other: int) -> bool:
        """Whether `other` is `state` or inside it."""
        return state <= other < self.tree.end[state]

    def common_parallel(self, a: int, b: int) -> int:
        """The parallel state (0: the machine) that has `a` and `b` in different regions; −1: none."""
        if self.contains(a, b) or self.contains(b, a):
            return -1
        ancestor = self.tree.parent[a]
        while not self.contains(ancestor, b):
            ancestor = self.tree.parent[ancestor]
        return ancestor if self.tree.kind[ancestor] == PARALLEL else -1


def overlap(one: tuple[str, ...], other: tuple[str, ...]) -> str | None:
    """An event, or a prefix of events, that both lists of descriptors match; None when there is none."""
    for a in one:
        for b in other:
            if a == b or (a and b and hears(a, _bare(b))):
                return b
            if a and b and hears(b, _bare(a)):
                return a
    return None


def _bare(descriptor: str) -> str:
    """The descriptor without its `.*` or closing dots."""
    if descriptor.endswith(".*"):
        return descriptor[:-2]
    return descriptor.rstrip(".") if descriptor != EVERY else EVERY


def nodes(region: Region) -> Iterator[Node]:
    """Every state that a chart declares, parents before their children."""
    pending = list(region.states)
    while pending:
        node = pending.pop(0)
        yield node
        pending = [*node.states, *pending]
