"""The tree of states: every region's states numbered in document order (preorder).

State 0 is the root that holds the regions side by side. A state's descendants are the numbers
between it and its `end`. A history is no state: as a target it is written −1 − its number.
"""

from firmware.base.errors import ChartError
from firmware.charts.model import ANY, ATOMIC, COMPOUND, HISTORY, PARALLEL, Node, Region, listed
from firmware.charts.paths import HistoryMemory
from firmware.charts.row import Row
from firmware.charts.suggest import did_you_mean


class Tree:
    """The states of `regions`, by number."""

    def __init__(self, regions: "list[Region]", rows: "list[list[Row]]") -> None:
        self.regions = regions
        self.names = ["root"]
        self.parent = [0]
        self.end = [0]
        self.kind = [PARALLEL]
        self.chart = [0]
        self.region = [0]
        self.homes = list(range(len(regions)))  # by region: its chart
        self.specs: list[Node | None] = [None]
        self.histories: list[HistoryMemory] = []
        self.history_specs: list[Node] = []
        self.initial: dict[int, tuple[int, ...]] = {}
        self.scopes: list[dict[str, int]] = []
        self.roots: list[int] = []
        self._chart = 0
        for chart, region in enumerate(regions):
            self._chart = chart
            self._number_region(region, rows[chart])
        self.end[0] = len(self.names)
        self._number_regions()
        for state in range(1, len(self.names)):
            if self.kind[state] == COMPOUND:
                self.initial[state] = self._initial(state)
        for i, history in enumerate(self.histories):
            self._set_default(history, listed(self.history_specs[i].initial))

    def __len__(self) -> int:
        return len(self.names)

    def _number_region(self, region: Region, rows: "list[Row]") -> None:
        """Number one region: what it lists, then what its rows name for the first time."""
        root = self._add_state(region.name, COMPOUND, 0, None)
        self.scopes.append({region.name: root})
        self.roots.append(root)
        for spec in region.states:
            self._add(spec, root)
        scope = self.scopes[self._chart]
        others = [other.name for other in self.regions]
        for row in rows:
            for name in (row.state,) + row.targets:
                if name != ANY and name not in scope and name not in others and "/" not in name:
                    self._declare(name, self._add_state(name, ATOMIC, root, None))
        self.end[root] = len(self.names)
        if len(self.names) == root + 1:
            self.kind[root] = ATOMIC

    def _add_state(self, name: str, kind: int, parent: int, spec: "Node | None") -> int:
        state = len(self.names)
        self.names.append(name)
        self.parent.append(parent)
        self.end.append(state + 1)
        self.kind.append(kind)
        self.chart.append(self._chart)
        self.specs.append(spec)
        return state

    def _declare(self, name: str, number: int) -> None:
        scope = self.scopes[self._chart]
        if name in scope or name == ANY or "/" in name or not name:
            raise ChartError(
                f"chart '{self.regions[self._chart].name}': two states are called '{name}', or it is no name"
            )
        scope[name] = number

    def _add(self, spec: Node, parent: int) -> None:
        if spec.kind == HISTORY:
            self.histories.append(HistoryMemory(parent, spec.deep))
            self.history_specs.append(spec)
            self._declare(spec.name, -len(self.histories))
            return
        state = self._add_state(spec.name, spec.kind, parent, spec)
        self._declare(spec.name, state)
        for child in spec.states:
            self._add(child, state)  # depth: 8 states within each other
        self.end[state] = len(self.names)

    def _initial(self, state: int) -> "tuple[int, ...]":
        spec = self.specs[state]
        named = spec.initial if spec is not None else self.regions[self.chart[state]].initial
        names = listed(named)
        if not names:
            return (state + 1,)
        found = tuple([self.find(name, self.chart[state], "initial") for name in names])
        self._check_inside(found, state, "initial")
        return found

    def _set_default(self, history: HistoryMemory, names: "tuple[str, ...]") -> None:
        if names:
            chart = self.chart[history.parent]
            history.default = tuple([self.find(name, chart, "default") for name in names])
            self._check_inside(history.default, history.parent, "default")
        elif self.kind[history.parent] == COMPOUND:
            history.default = self.initial[history.parent]
        else:
            history.default = tuple(self.children(history.parent))

    def _check_inside(self, targets: "tuple[int, ...]", state: int, what: str) -> None:
        for target in targets:
            at = target if target >= 0 else self.histories[-1 - target].parent + 1
            if not state < at < self.end[state]:
                raise ChartError(f"state '{self.path(state)}': its {what} lies outside it")

    def _number_regions(self) -> None:
        """Number the regions: first the charts, then in document order the children of parallel states."""
        for state in range(1, len(self.names)):
            holder = self.parent[state]
            if holder == 0:
                self.region.append(self.chart[state])
            elif self.kind[holder] == PARALLEL:
                self.region.append(len(self.roots))
                self.roots.append(state)
                self.homes.append(self.chart[state])
            else:
                self.region.append(self.region[holder])

    def within(self, state: int, holder: int) -> bool:
        """Whether `state` is a proper descendant of `holder`."""
        return holder < state < self.end[holder]

    def orthogonal(self, a: int, b: int) -> bool:
        """Whether two targets can be taken together: a parallel state parts them."""
        a = a if a >= 0 else self.histories[-1 - a].parent
        b = b if b >= 0 else self.histories[-1 - b].parent
        if a == b or self.within(a, b) or self.within(b, a):
            return False
        holder = self.parent[a]
        while not self.within(b, holder):
            holder = self.parent[holder]
        return self.kind[holder] == PARALLEL

    def children(self, state: int) -> "list[int]":
        """The children of `state`, histories left out."""
        found = []
        child = state + 1
        while child < self.end[state]:
            found.append(child)
            child = self.end[child]
        return found

    def path(self, state: int) -> str:
        """The name that tells the state from all others: "region/state", a region's root "region"."""
        if state == 0:
            return "root"
        region = self.regions[self.chart[state]].name
        return region if self.parent[state] == 0 else region + "/" + self.names[state]

    def find(self, name: str, chart: int, what: str) -> int:
        """The number of the state called `name` in `chart`, or of "region/state", or of a region."""
        scope = self.scopes[chart]
        if name in scope:
            return scope[name]
        slash = name.find("/")
        wanted = name if slash < 0 else name[:slash]
        for other, region in enumerate(self.regions):
            if region.name == wanted:
                if slash < 0:
                    return self.roots[other]
                if name[slash + 1 :] in self.scopes[other]:
                    return self.scopes[other][name[slash + 1 :]]
        known = list(scope)
        for state in range(1, len(self.names)):
            known.append(self.path(state))
        raise ChartError(
            f"chart '{self.regions[chart].name}': {what} '{name}' is no state{did_you_mean(name, known)}"
        )
