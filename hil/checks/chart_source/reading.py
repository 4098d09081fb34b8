"""Reads charts for tools: the tree of states and every row as a Move, without packing them.

Domains and entry sets come from the packer's own modules, so that a Move is what the engine does.
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

TIMED = "after."  # the first token of a timed transition's event in `Move.hears`


class Chart(NamedTuple):
    """One region as its author wrote it. `rests`: nothing resets its states."""

    region: Region
    places: Places
    rests: bool = True


class Move(NamedTuple):
    """One row: its source, targets and the states it enters. `hears` of an eventless row is ("",).

    `recalls`: a history decides what is entered; `entered` is the set while the history is empty.
    """

    chart: int
    row: Row
    place: Place
    source: int
    targets: tuple[int, ...]
    hears: tuple[str, ...]
    domain: int
    entered: frozenset[int]
    recalls: bool = False


class Reading:
    """Several charts side by side. Raises ChartError: a malformed row, or two states with one name.

    `moves` and what is computed from them raise it when a row names an unknown state.
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
    def moves(self) -> list[Move]:
        """Every row, in order."""
        return [
            self._move(at, row, chart.places.row(row.number - 1))
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
            for move in self.moves:
                if move.source in reached:
                    reached |= move.entered
            for past in self.tree.histories:
                if not past.deep and past.parent in reached:
                    reached |= self._begun(past.parent, reached)
        return reached

    def _begun(self, holder: int, reached: set[int]) -> set[int]:
        """What a shallow history enters: each child that was left, and that child's initial states."""
        found: set[int] = set()
        for child in self.tree.children(holder):
            if child in reached:
                self._paths.start(child)
                found |= self._entered()
        return found

    def _move(self, chart: int, row: Row, place: Place) -> Move:
        tree = self.tree
        source = tree.roots[chart] if row.state == ANY else tree.find(row.state, chart, row.where)
        targets = tuple(tree.find(name, chart, row.where) for name in row.targets)
        heard = (f"{TIMED}{row.after.ms}.{tree.path(source)}",) if row.after else row.hears or ("",)
        if not targets:
            return Move(chart, row, place, source, (), heard, 0, frozenset())
        wide = tuple(target if target >= 0 else self.holder(target) + 1 for target in targets)
        domain = self._paths.domain(source, wide, row.external)
        self._paths.entry(targets, domain)
        entered, recalls = self._entered(), self._paths.recalled
        return Move(chart, row, place, source, targets, heard, domain, entered, recalls)

    def _entered(self) -> frozenset[int]:
        out = self._paths.out
        return frozenset(out[: list(out).index(0)])

    # The tree, in words

    def holder(self, target: int) -> int:
        """The state whose history a negative target is."""
        return self.tree.histories[-1 - target].parent

    def name(self, state: int) -> str:
        """A state's own name; a chart's for its root."""
        return self.tree.names[state]

    def chart_name(self, state: int) -> str:
        """The name of the chart that holds a state."""
        return self.charts[self.tree.chart[state]].region.name

    def place(self, state: int) -> Place:
        """The line that declares a state, else of the first row with it as source, else as target."""
        chart = self.charts[self.tree.chart[state]]
        name = self.name(state)
        if name in chart.places.states:
            return chart.places.states[name]
        rows = self.rows[self.tree.chart[state]]
        named = [row for row in rows if row.state == name] or [row for row in rows if name in row.targets]
        return chart.places.row(named[0].number - 1) if named else chart.places.whole

    def words(self, state: int) -> str:
        """A state as messages name it."""
        if not self.tree.parent[state]:
            return f"chart '{self.name(state)}'"
        return f"state '{self.name(state)}' of '{self.chart_name(state)}'"

    def alone(self, state: int) -> bool:
        """Whether a state is the only leaf of its region."""
        region = self.tree.region[state]
        return all(other == state or self.tree.region[other] != region for other in self.leaves())

    def leaves(self) -> Iterator[int]:
        """The states that hold no other; a chart without states has none."""
        for state in range(1, len(self.tree)):
            if self.tree.end[state] == state + 1 and self.tree.parent[state]:
                yield state

    def holds(self, state: int, other: int) -> bool:
        """Whether `other` is `state` or inside it."""
        return state <= other < self.tree.end[state]

    def together(self, a: int, b: int) -> int:
        """The parallel state (0: the machine) that has two states in different regions; −1: none."""
        if self.holds(a, b) or self.holds(b, a):
            return -1
        holder = self.tree.parent[a]
        while not self.holds(holder, b):
            holder = self.tree.parent[holder]
        return holder if self.tree.kind[holder] == PARALLEL else -1


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
    if descriptor.endswith(".*"):
        return descriptor[:-2]
    return descriptor.rstrip(".") if descriptor != EVERY else EVERY


def nodes(region: Region) -> Iterator[Node]:
    """Every state that a chart declares, holders before those they hold."""
    pending = list(region.states)
    while pending:
        node = pending.pop(0)
        yield node
        pending = [*node.states, *pending]
