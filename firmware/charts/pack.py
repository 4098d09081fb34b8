"""Packing: from rows to the arrays that the engine runs. Runs once, at boot."""

from firmware.base.errors import ChartError
from firmware.charts.events import EVERY, Events
from firmware.charts.index import Index
from firmware.charts.model import ANY, After, Region, listed
from firmware.charts.near import meant
from firmware.charts.paths import COMPOUND, FINAL, PARALLEL, Paths
from firmware.charts.row import Row, rows_of
from firmware.charts.table import DUE, IN, NOT, RECALLS, STAYS, Extra, Table, loose, tight
from firmware.charts.tree import Tree

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from firmware.charts.table import Action


def pack(regions: "Sequence[Region]", events: Events) -> Table:
    """The machine that has `regions` side by side; afterwards `events` is closed to new names."""
    return Packer(list(regions), events).table


SEVERAL = 1 << 14  # added to the numbers of series while not all actions are known


def _nothing(_owner: object, _event: int) -> None:
    """Takes the place of action 0, which is never called."""


def _unbound(call: "Callable[[int], object]") -> "Action":
    """What is callable with an event alone, as if it were a method."""

    def action(_owner: object, event: int) -> object:
        return call(event)

    return action


class Packer:
    """Fills one Table; thrown away afterwards."""

    def __init__(self, regions: "list[Region]", events: Events) -> None:
        self.table = Table()
        self.events = events
        self.regions = regions
        self.rows = [rows_of(region) for region in regions]
        self.tree = Tree(regions, self.rows)
        self.index = Index(self.tree)
        self._calls: list[Action] = [_nothing]
        self._known_calls: dict[Action, int] = {}
        self._series: list[int] = []
        self._known_series: dict[tuple[int, ...], int] = {}
        self._plans: list[int] = [0, 0]
        self._known_plans: dict[tuple[int, ...], int] = {}
        self._contents: list[tuple[int, int]] = []
        self._timed: dict[int, list[After]] = {}
        self._extra: dict[int, Extra] = {}
        events.closed = False
        self._states()
        self._pasts()
        self._paths()
        self._transitions()
        self._timers()
        self._finals()
        self.table.goal = tight([self._goal(number) for number in range(len(self.table.source))])
        self._answers()
        self._settle_actions()
        events.closed = True

    def program(self, chart: int, names: "tuple[str, ...]", where: str) -> int:
        """The number of one action or several; 0 for none."""
        numbers = tuple([self._number(self._action(chart, name, where)) for name in names])
        if len(numbers) < 2:
            return numbers[0] if numbers else 0
        if numbers not in self._known_series:
            self._known_series[numbers] = len(self._series)
            self._series.extend(numbers)
            self._series.append(0)
        return SEVERAL + self._known_series[numbers]

    def _number(self, action: "Action") -> int:
        if action not in self._known_calls:
            self._known_calls[action] = len(self._calls)
            self._calls.append(action)
        return self._known_calls[action]

    def _settle_actions(self) -> None:
        """All actions are known: let the numbers of series begin where those of single ones end."""
        table = self.table
        table.calls = tuple(self._calls)
        table.several = len(self._calls)
        table.series = tight(self._series)
        table.enters = tight([self._settled(do) for do in table.enters])
        table.exits = tight([self._settled(do) for do in table.exits])
        table.does = tight([self._settled(do) for do in table.does])
        table.contents = tuple([(holder, self._settled(do)) for holder, do in self._contents])

    def _settled(self, do: int) -> int:
        return do if do < SEVERAL else do - SEVERAL + self.table.several

    def _action(self, chart: int, name: str, where: str) -> "Action":
        owner = self.regions[chart].owner
        found = getattr(type(owner), name, None)
        if callable(found):
            return found  # type: ignore[no-any-return]
        found = getattr(owner, name, None)
        if callable(found):
            return _unbound(found)
        known = [known for known in dir(owner) if not known.startswith("_")]
        raise ChartError(f"{where}: {type(owner).__name__} has no method '{name}'{meant(name, known)}")

    def _states(self) -> None:
        table, tree = self.table, self.tree
        table.states = len(tree)
        table.charts = len(self.regions)
        table.owners = tuple([self.regions[chart].owner for chart in tree.homes])
        table.names = tuple(tree.names)
        table.parent = tight(tree.parent)
        table.end = tight(tree.end)
        table.kind = tight(tree.kind)
        table.region = tight(tree.region)
        table.roots = tight(tree.roots)
        table.homes = tight(tree.homes)
        table.enters = [self._of_state(s, "enter") for s in range(len(tree))]
        table.exits = [self._of_state(s, "exit") for s in range(len(tree))]

    def _of_state(self, state: int, field: str) -> int:
        spec = self.tree.specs[state]
        if spec is None:
            return 0
        names = listed(spec.enter if field == "enter" else spec.exit)
        return self.program(self.tree.chart[state], names, f"state '{self.tree.path(state)}', {field}")

    def _content(self, state: int, names: "tuple[str, ...]") -> int:
        """The plan code of what is done on the way into `state`'s default; 0 for nothing."""
        if not names:
            return 0
        do = self.program(self.tree.chart[state], names, f"state '{self.tree.path(state)}', does")
        self._contents.append((state, do))
        return self.table.states + len(self._contents) - 1

    def _pasts(self) -> None:
        tree = self.tree
        slots: list[int] = []
        for past, spec in zip(tree.pasts, tree.past_specs):
            past.slot = len(slots)
            past.content = self._content(past.parent, listed(spec.does))
            inside = [
                r
                for r in range(len(self.regions), len(tree.roots))
                if tree.within(tree.roots[r], past.parent)
            ]
            if past.deep and inside:
                past.first, past.nested = inside[0], len(inside)
            slots.extend([tree.chart[past.parent]] * (1 + past.nested))
        self._slots = slots

    def _paths(self) -> None:
        table, tree = self.table, self.tree
        contents: dict[int, int] = {}
        for state in range(1, len(tree)):
            spec = tree.specs[state]
            if spec is not None and tree.kind[state] == COMPOUND and spec.does:
                contents[state] = self._content(state, listed(spec.does))
        most = table.states + len(self._contents)
        blank = loose(2 * table.states + 2, most)
        self.paths = Paths(table.parent, table.end, table.kind, tree.initial, tree.pasts, blank)
        self.paths.content = contents
        self.paths.slot_charts = tight(self._slots)
        if tree.pasts:
            table.paths = self.paths
        starts = []
        for chart in range(table.charts):
            self.paths.start(tree.roots[chart])
            starts.append(self._plan())
        table.starts = tight(starts)

    def _plan(self) -> int:
        """Keep the entry set just computed; where it stands in `plans`."""
        steps = []
        at = 0
        while self.paths.out[at]:
            steps.append(self.paths.out[at])
            at += 1
        key = tuple(steps)
        if key not in self._known_plans:
            self._known_plans[key] = len(self._plans)
            self._plans.extend(steps)
            self._plans.append(0)
        return self._known_plans[key]

    def _transitions(self) -> None:
        columns: list[list[int]] = [[0], [0], [0], [0], [0]]
        for chart, rows in enumerate(self.rows):
            for row in rows:
                values = self._transition(chart, row, len(columns[0]))
                for column, value in zip(columns, values):
                    column.append(value)
        table = self.table
        table.source, table.guard, table.does, table.domain, table.plan = [tight(c) for c in columns]
        table.plans = tight(self._plans)

    def _transition(self, chart: int, row: Row, number: int) -> "tuple[int, ...]":
        tree = self.tree
        source = (
            tree.roots[chart] if row.state == ANY else tree.find(row.state, chart, f"row {row.number}: state")
        )
        if source < 0:
            raise ChartError(f"{row.where}: no transition starts from the history '{row.state}'")
        targets = tuple([tree.find(name, chart, f"row {row.number}: target") for name in row.targets])
        guard = self._guard(chart, row)
        if row.after is not None:
            guard |= DUE
            self.index.add(number, source, [self._timer(source, row.after)])
        else:
            self.index.add(number, source, [self._qualified(chart, name) for name in row.hears])
        domain, plan = 0, STAYS
        if targets:
            self._check_targets(row, targets)
            domain, plan = self._way(source, targets, row.external)
            if plan == RECALLS:
                self.paths.recalls[number] = (targets, row.external)
        return source, guard, self.program(chart, row.does, row.where), domain, plan

    def _way(self, source: int, targets: "tuple[int, ...]", external: bool) -> "tuple[int, int]":
        """Domain and plan of a transition; the widest domain where it depends on a history."""
        tree = self.tree
        wide = tuple([x if x >= 0 else tree.pasts[-1 - x].parent + 1 for x in targets])
        domain = self.paths.domain(source, wide, external)
        self.paths.entry(targets, domain)
        return domain, RECALLS if self.paths.recalled else self._plan()

    def _check_targets(self, row: Row, targets: "tuple[int, ...]") -> None:
        tree = self.tree
        for i, a in enumerate(targets):
            for b in targets[:i]:
                if not tree.orthogonal(a, b):
                    raise ChartError(f"{row.where}: no machine can be in all of {row.targets!r} at once")

    def _guard(self, chart: int, row: Row) -> int:
        words = row.guard.split()
        code = 0
        if words and words[0] == "not":
            code = NOT
            words = words[1:]
        if len(words) == 2 and words[0] == "in":
            state = self.tree.find(words[1], chart, f"row {row.number}: guard")
            if state < 0:
                raise ChartError(f"{row.where}: the history '{words[1]}' is never active")
            return state << 3 | code | IN
        if len(words) == 1:
            return self.program(chart, (words[0],), row.where) << 3 | code
        if row.guard:
            raise ChartError(
                f"{row.where}: a guard is 'name', 'not name', 'in state' or 'not in state', not '{row.guard}'"
            )
        return 0

    def _qualified(self, chart: int, descriptor: str) -> str:
        """`done.state.NAME` of a state of this chart, told apart from the same name elsewhere."""
        name = descriptor[11:] if descriptor.startswith("done.state.") else ""
        state = self.tree.scopes[chart].get(name, -1)
        if state >= 0:
            return "done.state." + self.tree.path(state)
        return descriptor

    def _timer(self, source: int, wanted: After) -> str:
        """Note that `source` has this timer; the name of its event."""
        timers = self._timed.setdefault(source, [])
        for timer in timers:
            if timer.ms == wanted.ms:
                break
        else:
            timers.append(wanted)
        return self._due_name(source, wanted)

    def _due_name(self, state: int, timer: After) -> str:
        return f"after.{timer.ms}.{self.tree.path(state)}"

    def _timers(self) -> None:
        """Number the timers of `after` rows in the order of the states."""
        clocks, tree = self.table.clocks, self.tree
        for state in range(len(tree)):
            if state in self._timed:
                extra = self._extra[state] = Extra()
                extra.first = len(clocks.delays)
                for timer in self._timed[state]:
                    clocks.delays += (timer.ms,)
                    clocks.groups += (timer.group,)
                    clocks.events += (self.events.add(self._due_name(state, timer)),)
                    clocks.charts += (tree.chart[state],)
                extra.stop = len(clocks.delays)

    def _finals(self) -> None:
        """Done events, of those holders whose end somebody hears."""
        tree = self.tree
        for state in range(1, len(tree)):
            if tree.kind[state] == FINAL:
                extra = self._extra.setdefault(state, Extra())
                holder = tree.parent[state]
                extra.done = self._done(holder)
                if tree.kind[tree.parent[holder]] == PARALLEL and holder:
                    extra.around = tree.parent[holder]
                    extra.all_done = self._done(extra.around)
        extras = [Extra()]
        at = [0] * len(tree)
        for state in range(len(tree)):
            if state in self._extra:
                at[state] = len(extras)
                extras.append(self._extra[state])
        self.table.extra = tight(at)
        self.table.extras = tuple(extras)

    def _goal(self, number: int) -> int:
        """Where a transition leads, if nothing is to be done on the way; else 0."""
        table, tree = self.table, self.tree
        source, domain, at = table.source[number], table.domain[number], table.plan[number]
        if not domain or at == RECALLS:
            return 0
        way = []
        for state in range(domain + 1, table.end[domain]):
            if state == source or tree.within(state, source) or tree.within(source, state):
                way.append(state)
        while self._plans[at]:
            way.append(self._plans[at])
            at += 1
        for state in way:
            if state >= table.states or tree.region[state] != tree.region[domain]:
                return 0
            if table.enters[state] or table.exits[state] or table.extra[state]:
                return 0
            for past in tree.pasts:
                if past.parent == state:
                    return 0
        return way[-1]

    def _done(self, holder: int) -> int:
        name = "done.state." + self.tree.path(holder)
        return self.events.add(name) if holder and self.index.listeners(name) else -1

    def _answers(self) -> None:
        """Number the remaining events and list who hears each."""
        table = self.table
        for rows in self.rows:
            for row in rows:
                for name in row.hears:
                    if EVERY not in name and not name.endswith("."):
                        self.events.add(name)
        table.error = self.events.find("error.execution")
        if table.error < 0 and self.index.listeners("error.execution"):
            table.error = self.events.add("error.execution")
        self.index.domain = table.domain
        self.index.plan = table.plan
        self.index.build(self.events.names())
        table.first = tight(self.index.first)
        table.candidates = tight(self.index.candidates)
        table.eventless = len(self.events)
