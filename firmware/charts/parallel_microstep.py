"""The microstep where regions lie inside regions, or there are histories, or charts reach each other.

Only machines that have any of these load this. A region that is not active has leaf 0.
"""

from firmware.base.numbers import zeros
from firmware.base.trace import MOVE
from firmware.charts.model import COMPOUND, FINAL, PARALLEL

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import Protocol

    from firmware.base.numbers import Numbers
    from firmware.base.trace import Trace
    from firmware.charts.table import HeardByRegion, Table

    class Microstep(Protocol):
        """What is used of microstep.Microstep, which loads this module."""

        table: Table
        leaf: "Numbers"
        touched: bytearray
        trace: "Trace | None"

        @property
        def raise_(self) -> "Callable[[int], None]":
            """Raise an event inside the machine."""

        def allows(self, number: int, region: int, guard: int, event: int) -> object:
            """Whether the guard of a transition of chart `region` holds."""

        def is_active(self, state: int) -> bool:
            """Whether a state is active."""

        def run(self, do: int, region: int, event: int) -> None:
            """Run one action."""

        def leave(self, state: int, region: int, event: int) -> None:
            """Leave one state."""

        def enter(self, state: int, region: int, event: int) -> None:
            """Enter one state."""


class ParallelMicrostep:
    """Takes the microstep for `Microstep` when one region is not enough."""

    def __init__(self, microstep: "Microstep") -> None:
        table = microstep.table
        regions = len(table.roots)
        self.microstep = microstep
        self.table = table
        self.leaf = microstep.leaf
        self.slot_charts: Sequence[int] = table.paths.slot_charts if table.paths is not None else ()
        self.memory = zeros(len(self.slot_charts), table.states)
        self._chosen = zeros(regions, len(table.source))
        self._domains = zeros(regions, table.states)

    def step_many(self, heard: "HeardByRegion", event: int) -> bool:
        """One microstep on an event that is heard by these."""
        table, chosen = self.table, self._chosen
        count = 0
        for place, candidates in heard:
            leaf = self.leaf[place]
            if leaf and table.kind[leaf] != PARALLEL:
                for number, region, state, end, guard in candidates:
                    if state <= leaf < end and (
                        not guard or self.microstep.allows(number, region, guard, event)
                    ):
                        chosen[count] = number
                        count += 1
                        break
        count = self._remove_conflicting(count)
        if count:
            self._move_all(count, event)
        return count > 0

    def _remove_conflicting(self, count: int) -> int:
        """removeConflictingTransitions, in place; how many are left."""
        source, end = self.table.source, self.table.end
        chosen = self._chosen
        kept = 0
        for i in range(count):
            number = chosen[i]
            preempted = False
            for j in range(kept):
                other = chosen[j]
                inner = source[other] < source[number] < end[source[other]]
                if number == other or (not inner and self._conflict(number, other)):
                    preempted = True
                    break
            if preempted:
                continue
            left = 0
            for j in range(kept):
                if not self._conflict(number, chosen[j]):
                    chosen[left] = chosen[j]
                    left += 1
            chosen[left] = number
            kept = left + 1
        return kept

    def _conflict(self, a: int, b: int) -> bool:
        """Whether the exit sets of two transitions meet."""
        table = self.table
        if not table.plan[a] or not table.plan[b]:
            return False
        d, e = self._domain(a), self._domain(b)
        return d <= e < table.end[d] or e <= d < table.end[e]

    def _move_all(self, count: int, event: int) -> None:
        """Transitions as one microstep: all exits, all actions, all entries."""
        table, chosen, domains = self.table, self._chosen, self._domains
        for i in range(count):
            domains[i] = self._domain(chosen[i])
        for i in range(count - 1, -1, -1):
            if table.plan[chosen[i]]:
                self._leave(domains[i], event)
        for i in range(count):
            number = chosen[i]
            do = table.does[number]
            if do:
                self.microstep.run(do, table.region[table.source[number]], event)
        for i in range(count):
            if table.plan[chosen[i]]:
                self._enter_targets(chosen[i], domains[i], event)
        for i in range(count):
            region = table.region[table.source[chosen[i]]]
            self.microstep.touched[table.homes[region]] = 1
            if self.microstep.trace is not None:
                if domains[i]:
                    region = table.region[domains[i]]
                self.microstep.trace.add(MOVE, chosen[i] - 1, self.leaf[region])

    def _domain(self, number: int) -> int:
        """What a transition leaves the descendants of, as things are now."""
        table = self.table
        paths = table.paths
        plan = table.plan[number]
        if paths is None or plan != table.states:
            return table.domain[number]
        paths.memory = self.memory
        targets, external = paths.recalls[number]
        return paths.domain(table.source[number], targets, external)

    def _leave(self, domain: int, event: int) -> None:
        """Leave the active descendants of `domain`, the last in document order first."""
        table = self.table
        if self.memory:
            self._remember(domain)
        if domain:
            self._leave_nested(domain, event)
            self._climb(table.region[domain], domain, event)
            return
        for chart in range(table.charts - 1, -1, -1):
            self._leave_nested(table.roots[chart], event)
            self._climb(chart, 0, event)

    def _leave_nested(self, domain: int, event: int) -> None:
        """Leave the regions inside `domain`."""
        table = self.table
        for region in range(len(table.roots) - 1, table.charts - 1, -1):
            root = table.roots[region]
            if domain < root < table.end[domain] and self.leaf[region]:
                self._climb(region, table.parent[root], event)
                self.leaf[region] = 0

    def _climb(self, region: int, stop: int, event: int) -> None:
        """Leave the states of one region from its leaf up to, not including, `stop`."""
        leaf = self.leaf
        while leaf[region] != stop:
            self.microstep.leave(leaf[region], region, event)
            leaf[region] = self.table.parent[leaf[region]]

    def _remember(self, domain: int) -> None:
        """Let the histories inside `domain` remember, before any of their states is left."""
        table, memory, leaf = self.table, self.memory, self.leaf
        paths = table.paths
        assert paths is not None
        for history in paths.histories:
            holder = history.parent
            if not (domain < holder < table.end[domain] and self.microstep.is_active(holder)):
                continue
            state = leaf[table.region[holder]]
            if not history.deep:
                while state != holder and table.parent[state] != holder:
                    state = table.parent[state]
            memory[history.slot] = state
            for i in range(history.nested):
                memory[history.slot + 1 + i] = leaf[history.first + i]

    def _enter_targets(self, number: int, domain: int, event: int) -> None:
        """Enter what a transition leads to."""
        table = self.table
        paths = table.paths
        plan = table.plan[number]
        if paths is not None and plan == table.states:
            paths.memory = self.memory
            paths.entry(paths.recalls[number][0], domain)
            self.enter_plan(paths.out, 0, event)
        else:
            self.enter_plan(table.plans, plan - table.states, event)

    def enter_plan(self, plans: "Sequence[int]", at: int, event: int) -> None:
        """Enter the states of a plan, with what is done on the way into a default."""
        table = self.table
        while plans[at]:
            if plans[at] < table.states:
                self.microstep.enter(plans[at], table.region[plans[at]], event)
            else:
                holder, do = table.contents[plans[at] - table.states]
                self.microstep.run(do, table.region[holder], event)
            at += 1

    def raise_when_done(self, state: int, event: int) -> None:
        """Raise the done event of a parallel state, if it is done."""
        if self.is_done(state):
            self.microstep.raise_(event)

    def is_done(self, state: int) -> bool:
        """isInFinalState, of a compound or parallel state."""
        table = self.table
        if table.kind[state] == COMPOUND:
            leaf = self.leaf[table.region[state]]
            return table.kind[leaf] == FINAL and table.parent[leaf] == state
        if table.kind[state] != PARALLEL:
            return False
        child = state + 1
        while child < table.end[state]:
            if not self.is_done(child):  # depth: 4 parallel states within each other
                return False
            child = table.end[child]
        return True
