"""Packing: from rows to the arrays that the engine runs. Runs once, at boot."""

from firmware.base.errors import ChartError
from firmware.base.numbers import constants, zeros
from firmware.charts.action_sequence import ActionSequence, OwnerlessAction
from firmware.charts.events import EVERY, Events
from firmware.charts.index import Index
from firmware.charts.model import ANY, COMPOUND, FINAL, PARALLEL, After, Region, listed
from firmware.charts.paths import Paths
from firmware.charts.row import Row, rows_of
from firmware.charts.suggest import did_you_mean
from firmware.charts.table import (
    DUE,
    EXTRA,
    FIRST,
    IN,
    NOT,
    Table,
)
from firmware.charts.tree import Tree

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any

    from firmware.charts.table import Action


def pack(regions: "Sequence[Region]", events: Events) -> Table:
    """The machine that has `regions` side by side; afterwards `events` is closed to new names."""
    return Packer(list(regions), events).table


class Packer:
    """Fills one Table; thrown away afterwards."""

    def __init__(self, regions: "list[Region]", events: Events) -> None:
        self.table = Table()
        self.events = events
        self.regions = regions
        self.rows = [rows_of(region) for region in regions]
        self.tree = Tree(regions, self.rows)
        self.index = Index(self.tree)
        self._calls: list[Any] = [None]  # Any: no number means the first
        self._numbers: dict[tuple[Action, ...], int] = {}
        self._lists: list[dict[tuple[str, ...], int]] = [{} for _ in regions]
        self._plans: list[int] = [0]
        self._known_plans: dict[tuple[int, ...], int] = {}
        self._starts: list[tuple[int, ...]] = []
        self._does = [0]  # by transition
        self._domains = [0]
        self._steps: list[tuple[int, ...]] = [()]
        self._contents: list[tuple[int, int]] = []
        self._timers: dict[int, list[After]] = {}
        self._acts: list[tuple[int, int]] = []
        self._delays: list[int | str] = []
        self._clocks: list[int] = []
        events.closed = False
        self._states()
        self._paths()
        self._transitions()
        self._answers()
        self._extras()
        events.closed = True

    # actions

    def _act(self, chart: int, names: "tuple[str, ...]", where: str) -> int:
        """The number of what does the named actions; 0 for none."""
        if not names:
            return 0
        if names not in self._lists[chart]:
            actions = tuple([self._method(chart, name, where) for name in names])
            self._lists[chart][names] = self._number(actions)
        return self._lists[chart][names]

    def _method(self, chart: int, name: str, where: str) -> "Action":
        owner = self.regions[chart].owner
        method: Action | None = getattr(type(owner), name, None)
        if callable(method):
            return method
        bound = getattr(owner, name, None)
        if callable(bound):
            return OwnerlessAction(bound)
        known = [known for known in dir(owner) if not known.startswith("_")]
        raise ChartError(f"{where}: {type(owner).__name__} has no method '{name}'{did_you_mean(name, known)}")

    def _number(self, actions: "tuple[Action, ...]") -> int:
        """The number of the call that does these actions in order."""
        if actions not in self._numbers:
            call = actions[-1]
            for i in range(len(actions) - 2, -1, -1):
                call = ActionSequence(actions[i], call)
            self._numbers[actions] = len(self._calls)
            self._calls.append(call)
        return self._numbers[actions]

    # states

    def _states(self) -> None:
        table, tree = self.table, self.tree
        table.states = len(tree)
        table.owners = tuple([self.regions[chart].owner for chart in tree.homes])
        table.names = ("",) + tuple([tree.path(state) for state in range(1, len(tree))])
        table.parent = constants(tree.parent)
        table.end = constants(tree.end)
        table.region = constants(tree.region)
        table.roots = constants(tree.roots)
        if len(tree.roots) > len(self.regions) or tree.histories:
            table.branched = True
        for state, spec in enumerate(tree.specs):
            where = f"state '{tree.path(state)}'"
            enter, leave = ((), ()) if spec is None else (listed(spec.enter), listed(spec.exit))
            self._acts.append(
                (self._act(tree.chart[state], enter, where), self._act(tree.chart[state], leave, where))
            )

    def _content(self, state: int, names: "Sequence[str]") -> int:
        """The plan code of what is done on the way into `state`'s default; 0 for nothing."""
        if not names:
            return 0
        self.table.branched = True
        do = self._act(self.tree.chart[state], tuple(names), f"state '{self.tree.path(state)}', does")
        self._contents.append((state, do))
        return self.table.states + len(self._contents) - 1

    def _paths(self) -> None:
        table, tree = self.table, self.tree
        contents: dict[int, int] = {}
        for state in range(1, len(tree)):
            spec = tree.specs[state]
            if spec is not None and tree.kind[state] == COMPOUND and spec.does:
                contents[state] = self._content(state, listed(spec.does))
        slots: list[int] = []
        for history, spec in zip(tree.histories, tree.history_specs):
            history.slot = len(slots)
            history.content = self._content(history.parent, listed(spec.does))
            if history.deep:
                inside = [r for r in range(len(tree.roots)) if tree.within(tree.roots[r], history.parent)]
                history.first, history.nested = inside[0] if inside else 0, len(inside)
            slots.extend([tree.chart[history.parent]] * (1 + history.nested))
        blank = zeros(2 * table.states + 2, table.states + len(self._contents))
        self.paths = Paths(table.parent, table.end, constants(tree.kind), tree.initial, tree.histories, blank)
        self.paths.content = contents
        self.paths.slot_charts = constants(slots)
        if tree.histories:
            table.paths = self.paths
        for root in tree.roots[: len(self.regions)]:
            self.paths.start(root)
            self._starts.append(self._entered())

    def _entered(self) -> "tuple[int, ...]":
        """The entry set just computed."""
        steps: tuple[int, ...] = ()
        while self.paths.out[len(steps)]:
            steps += (self.paths.out[len(steps)],)
        return steps

    # transitions

    def _transitions(self) -> None:
        for chart, rows in enumerate(self.rows):
            for row in rows:
                self._does.append(self._transition(chart, row, len(self._does)))
        self.table.source = constants(self.index.source)

    def _transition(self, chart: int, row: Row, number: int) -> int:
        """Note one transition; what it does."""
        tree = self.tree
        source = tree.roots[chart] if row.state == ANY else tree.find(row.state, chart, row.where)
        if source < 0:
            raise ChartError(f"{row.where}: no transition starts from the history '{row.state}'")
        targets = tuple([tree.find(name, chart, row.where) for name in row.targets])
        guard = self._guard(chart, row)
        if row.after is not None:
            guard |= DUE
            self.index.add(number, source, guard, [self._timer(source, row.after)])
        else:
            self.index.add(number, source, guard, [self._qualified(chart, name) for name in row.hears])
        self._way(source, targets, row, number)
        return self._act(chart, row.does, row.where)

    def _way(self, source: int, targets: "tuple[int, ...]", row: Row, number: int) -> None:
        """Note what a transition enters, and its domain, the widest where that depends on a history."""
        tree = self.tree
        if not targets:
            self._steps.append(())
            self._domains.append(0)
            return
        for i, a in enumerate(targets):
            for b in targets[:i]:
                if not tree.orthogonal(a, b):
                    raise ChartError(f"{row.where}: no machine can be in all of {row.targets!r} at once")
        wide = tuple([x if x >= 0 else tree.histories[-1 - x].parent + 1 for x in targets])
        domain = self.paths.domain(source, wide, row.external)
        self.paths.entry(targets, domain)
        self._steps.append(self._entered())
        self._domains.append(domain)
        if not domain:
            self.table.branched = True
        if self.paths.recalled:
            self.paths.recalls[number] = (targets, row.external)

    def _guard(self, chart: int, row: Row) -> int:
        words = row.guard.split()
        code = 0
        if words and words[0] == "not":
            code = NOT
            words = words[1:]
        if len(words) == 2 and words[0] == "in":
            state = self.tree.find(words[1], chart, row.where)
            if state < 0:
                raise ChartError(f"{row.where}: the history '{words[1]}' is never active")
            return state << 3 | code | IN
        if len(words) == 1:
            return self._number((self._method(chart, words[0], row.where),)) << 3 | code
        if row.guard:
            raise ChartError(f"{row.where}: a guard is 'NAME' or 'in STATE', or 'not' and one of these")
        return 0

    def _qualified(self, chart: int, descriptor: str) -> str:
        """`done.state.NAME` of a state of this chart, which another chart may have by the same name."""
        name = descriptor[11:] if descriptor.startswith("done.state.") else ""
        state = self.tree.scopes[chart].get(name, -1)
        return "done.state." + self.tree.path(state) if state >= 0 else descriptor

    def _timer(self, source: int, wanted: After) -> str:
        """Note that `source` has this timer; the name of its event."""
        timers = self._timers.setdefault(source, [])
        for timer in timers:
            if timer.ms == wanted.ms:
                break
        else:
            timers.append(wanted)
        return self._due_name(source, wanted)

    def _due_name(self, state: int, timer: After) -> str:
        return f"after.{timer.ms}.{self.tree.path(state)}"

    # events

    def _answers(self) -> None:
        """Number the remaining events and list who hears each."""
        table, tree = self.table, self.tree
        for rows in self.rows:
            for row in rows:
                for name in row.hears:
                    if EVERY not in name and not name.endswith("."):
                        self.events.add(name)
        if self.index.listeners("error.execution"):
            table.error = self.events.add("error.execution")
        for state in range(1, len(tree)):
            for timer in self._timers.get(state, ()):
                self.events.add(self._due_name(state, timer))
            if tree.kind[state] == FINAL:
                self._done(tree.parent[state])
                self._done(tree.parent[tree.parent[state]])
        table.heard = self.index.heard(self.events.names(), table.branched)

    def _done(self, holder: int) -> int:
        """1 + the event raised when `holder` is done, if somebody hears it; else 0."""
        name = "done.state." + self.tree.path(holder)
        return 1 + self.events.add(name) if holder and self.index.listeners(name) else 0

    # what is special about states

    def _extras(self) -> None:
        table, tree = self.table, self.tree
        table.calls = tuple(self._calls)
        extras: list[int] = []
        enters = []
        exits = []
        for state in range(len(tree)):
            enter, leave = self._acts[state]
            more = self._more(state)
            if any(more):
                extras.extend([enter, leave] + more)
                enter = leave = len(table.calls) + len(extras) // EXTRA - 1
            enters.append(enter)
            exits.append(leave)
        table.enters = constants(enters)
        table.exits = table.enters if exits == enters else constants(exits)
        table.extras = constants(extras)
        table.delays = tuple(self._delays)
        table.clocks = constants(self._clocks)
        if table.branched:
            table.kind = self.paths.kind
            table.contents = tuple(self._contents)
            table.homes = constants(tree.homes)
        else:
            table.homes = range(len(self.regions))
        self._lay_plans()

    def _more(self, state: int) -> "list[int]":
        """The record of a state as table.py lays it out, from its timers on; zeros for none."""
        tree = self.tree
        first = len(self._delays)
        for timer in self._timers.get(state, ()):
            event = self.events.find(self._due_name(state, timer))
            self._delays.append(timer.ms)
            self._clocks.extend((event, timer.group, tree.chart[state]))
        stop = len(self._delays)
        done = all_done = 0
        if tree.kind[state] == FINAL:
            holder = tree.parent[state]
            done = self._done(holder)
            if tree.kind[tree.parent[holder]] == PARALLEL:
                all_done = self._done(tree.parent[holder])
        if stop == first and not done and not all_done:
            return [0] * (EXTRA - FIRST)
        return [first, stop, done, all_done]

    # plans

    def _lay_plans(self) -> None:
        """Number the entry sets; where nothing happens on the way the number is that of the goal."""
        table = self.table
        starts = []
        for steps in self._starts:
            starts.append(steps[-1] if self._is_quiet(steps) else self._plan(steps))
        columns = zip(*[self._move(number) for number in range(len(table.source))])
        table.plan, table.domain = [constants(list(column)) for column in columns]
        table.does = constants(self._does)
        table.plans = constants(self._plans)
        table.starts = constants(starts)

    def _move(self, number: int) -> "tuple[int, int]":
        """Plan and domain of a transition."""
        domain, steps = self._domains[number], self._steps[number]
        if number in self.paths.recalls:
            return self.table.states, domain
        if not steps:
            return 0, 0
        if len(steps) == 1 and self._is_quiet(self._way_of(number)):
            return steps[0], self.tree.parent[steps[0]]
        return self._plan(steps), domain

    def _plan(self, steps: "tuple[int, ...]") -> int:
        """The plan that enters `steps`, written down unless it is the end of another."""
        if steps not in self._known_plans:
            for at in range(len(steps)):
                self._known_plans.setdefault(steps[at:], len(self._plans) + at)
            self._plans.extend(steps + (0,))
        return self.table.states + self._known_plans[steps]

    def _way_of(self, number: int) -> "tuple[int, ...]":
        """The states whose actions and timers keep a transition from being straight."""
        table, tree = self.table, self.tree
        source, domain, steps = table.source[number], self._domains[number], self._steps[number]
        if tree.end[source] == source + 1 and tree.parent[source] == domain and len(steps) == 1:
            # From one plain state to another: their actions are called for, their timers are not.
            return tuple([state for state in (source, steps[0]) if table.enters[state] >= len(table.calls)])
        # The source counts even when it is not left: its action would be called for.
        inside = range(domain + 1, tree.end[domain])
        left = [s for s in inside if tree.within(s, source) or tree.within(source, s)]
        return steps + tuple(left) + (source,)

    def _is_quiet(self, states: "tuple[int, ...]") -> bool:
        """Whether nothing happens when any of `states` is entered or left."""
        table = self.table
        return not (table.branched or any(table.enters[state] or table.exits[state] for state in states))
