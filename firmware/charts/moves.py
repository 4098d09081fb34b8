"""The microstep: which transitions an event enables, and what taking them does.

Appendix D of the W3C SCXML Recommendation (2015): selectTransitions, removeConflictingTransitions,
exitStates, executeTransitionContent, enterStates. The configuration is one state number a region:
its leaf. State `s` of region `r` is active when s <= leaf[r] < end[s]; a region that is not active
has leaf 0. Leaves move with every state left or entered, so that whoever asks in between is told
the truth. Nothing here allocates.
"""

from firmware.base.trace import MOVE
from firmware.charts.paths import COMPOUND, FINAL, PARALLEL
from firmware.charts.table import DUE, IN, NOT, RECALLS, RIVALS, Table, loose

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace
    from firmware.charts.table import Extra


class Moves:
    """A configuration, and the ways it can change."""

    def __init__(self, table: Table, timers: "Timers", trace: "Trace | None") -> None:
        self.table = table
        self.timers = timers
        self.trace = trace
        self.touched = bytearray(table.charts)
        self.failed: Exception | None = None  # waits for the end of the macrostep
        self.failures = 0
        self.pending = False  # there is more to do than the one event at hand
        self.raise_: Callable[[int], None]
        self.first_timer = len(timers)
        for i in range(len(table.clocks.events)):
            timers.add(table.clocks.events[i], table.clocks.groups[i])
        regions = len(table.roots)
        self.slot_charts: Sequence[int] = table.paths.slot_charts if table.paths is not None else ()
        self.leaf = loose(regions, table.states)
        self.memory = loose(len(self.slot_charts), table.states)
        self._chosen = loose(regions, len(table.source))
        self._domains = loose(regions, table.states)
        # Unpacked where the time goes: that is quicker than looking each up.
        self._ways = (
            self.leaf,
            table.region,
            table.exits,
            table.enters,
            table.extra,
            table.parent,
            table.plan,
            table.plans,
            table.owners,
            table.calls,
            table.several,
        )
        # Whether there is more to leaving and entering than climbing up and down in one region.
        self._branched = regions > table.charts or bool(self.slot_charts) or bool(table.contents)

    def inside(self, state: int) -> bool:
        """Whether `state` is active."""
        return state <= self.leaf[self.table.region[state]] < self.table.end[state]

    def step(self, event: int) -> bool:
        """One microstep on `event`; whether any transition was taken."""
        table = self.table
        at = table.first[event]
        number = table.candidates[at]
        while number:
            if self.inside(table.source[number]) and (not table.guard[number] or self._allows(number, event)):
                self._move(number, event)
                return True
            at += 1
            number = table.candidates[at]
        return at > 0 and at == table.first[event] and self._step_many(at + 1, event)

    def fail(self, failure: Exception) -> None:
        """An action or a guard raised: tell who hears it, or keep it for the end of the macrostep."""
        self.failures += 1
        if self.table.error >= 0:
            self.raise_(self.table.error)
        elif self.failed is None:
            self.failed = failure
            self.pending = True

    def start_timers(self, extra: "Extra", chart: int) -> None:
        """Start the timers that belong to one state."""
        for i in range(extra.first, extra.stop):
            delay = self.table.clocks.delays[i]
            if isinstance(delay, str):
                delay = getattr(self.table.owners[chart], delay)
            self.timers.start(self.first_timer + i, delay)

    def _allows(self, number: int, event: int) -> bool:
        """Whether the guard of a transition holds; one that raises does not."""
        table = self.table
        code = table.guard[number]
        if not code & 7:
            try:
                return bool(table.calls[code >> 3](table.owners[table.region[table.source[number]]], event))
            except Exception as failure:
                self.fail(failure)
                return False
        if code & DUE and self._running_again(number, event):
            return False
        if code < 8:
            return True
        if code & IN:
            return self.inside(code >> 3) != (code & NOT)
        try:
            yes = table.calls[code >> 3](table.owners[table.region[table.source[number]]], event)
        except Exception as failure:
            self.fail(failure)
            return False
        return not yes if code & NOT else bool(yes)

    def _running_again(self, number: int, event: int) -> bool:
        """Whether a timer's event is stale: its state was left, and entered again, since it was due."""
        table = self.table
        extra = table.extras[table.extra[table.source[number]]]
        for i in range(extra.first, extra.stop):
            if table.clocks.events[i] == event:
                return self.timers.running(self.first_timer + i)
        return False

    def _run(self, do: int, region: int, event: int) -> None:
        """One action or several; one that raises does not keep the others from running."""
        table = self.table
        if do < table.several:
            try:
                table.calls[do](table.owners[region], event)
            except Exception as failure:
                self.fail(failure)
            return
        at = do - table.several
        while table.series[at]:
            self._run(table.series[at], region, event)
            at += 1

    def _move(self, number: int, event: int) -> None:
        """One transition by itself; within one region in line, because this is where the time goes."""
        domain = self.table.domain[number]
        if self._branched or not domain:
            self._move_branched(number, event)
            return
        leaf, region, exits, enters, extra, parent, plan, plans, owners, calls, several = self._ways
        place = region[domain]
        owner = owners[place]
        state = leaf[place]
        while state != domain:
            do = exits[state]
            if do:
                if do < several:
                    try:
                        calls[do](owner, event)
                    except Exception as failure:
                        self.fail(failure)
                else:
                    self._run(do, place, event)
            if extra[state]:
                self._stop_timers(extra[state])
            state = parent[state]
            leaf[place] = state
        do = self.table.does[number]
        if do:
            if do < several:
                try:
                    calls[do](owner, event)
                except Exception as failure:
                    self.fail(failure)
            else:
                self._run(do, place, event)
        at = plan[number]
        state = plans[at]
        while state:
            leaf[place] = state
            do = enters[state]
            if do:
                if do < several:
                    try:
                        calls[do](owner, event)
                    except Exception as failure:
                        self.fail(failure)
                else:
                    self._run(do, place, event)
            if extra[state]:
                self._enter_extra(extra[state], place)
            at += 1
            state = plans[at]
        self.touched[place] = 1
        if self.trace is not None:
            self.trace.add(MOVE, number - 1, leaf[place])

    def _move_branched(self, number: int, event: int) -> None:
        """One transition where there are regions in regions, or histories, or every region is left."""
        table = self.table
        domain = table.domain[number]
        if table.plan[number]:
            domain = self._domain(number)
            self._leave(domain, event)
        if table.does[number]:
            self._run(table.does[number], table.region[table.source[number]], event)
        if table.plan[number]:
            self._come(number, domain, event)
        place = table.region[table.source[number]]
        self.touched[table.homes[place]] = 1
        if self.trace is not None:
            self.trace.add(MOVE, number - 1, self.leaf[table.region[domain] if domain else place])

    def _leave(self, domain: int, event: int) -> None:
        """Leave the active descendants of `domain`, the last in document order first."""
        table = self.table
        if self._branched:
            if self.memory:
                self._remember(domain)
            if domain:
                self._leave_nested(domain, event)
        if domain:
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
        table = self.table
        state = self.leaf[region]
        while state != stop:
            if table.exits[state]:
                self._run(table.exits[state], region, event)
            if table.extra[state]:
                self._stop_timers(table.extra[state])
            state = table.parent[state]
            self.leaf[region] = state

    def _come(self, number: int, domain: int, event: int) -> None:
        """Enter what a transition leads to."""
        table = self.table
        paths = table.paths
        if paths is not None and table.plan[number] == RECALLS:
            paths.memory = self.memory
            paths.entry(paths.recalls[number][0], domain)
            self._enter(paths.out, 0, event)
        else:
            self._enter(table.plans, table.plan[number], event)

    def _enter(self, plans: "Sequence[int]", at: int, event: int) -> None:
        """Enter the states of a plan, from `at` up to its 0."""
        table = self.table
        state = plans[at]
        while state:
            if state < table.states:
                region = table.region[state]
                self.leaf[region] = state
                if table.enters[state]:
                    self._run(table.enters[state], region, event)
                if table.extra[state]:
                    self._enter_extra(table.extra[state], region)
            else:
                holder, do = table.contents[state - table.states]
                self._run(do, table.region[holder], event)
            at += 1
            state = plans[at]

    def _enter_extra(self, number: int, region: int) -> None:
        """Start a state's timers; raise the done events of a final one."""
        extra = self.table.extras[number]
        self.start_timers(extra, self.table.homes[region])
        if extra.done >= 0:
            self.raise_(extra.done)
        if extra.all_done >= 0 and self._is_done(extra.around):
            self.raise_(extra.all_done)

    def _stop_timers(self, number: int) -> None:
        extra = self.table.extras[number]
        for i in range(extra.first, extra.stop):
            self.timers.stop(self.first_timer + i)

    def _is_done(self, state: int) -> bool:
        """isInFinalState, of a compound or parallel state."""
        table = self.table
        if table.kind[state] == COMPOUND:
            leaf = self.leaf[table.region[state]]
            return table.kind[leaf] == FINAL and table.parent[leaf] == state
        if table.kind[state] != PARALLEL:
            return False
        child = state + 1
        while child < table.end[state]:
            if not self._is_done(child):
                return False
            child = table.end[child]
        return True

    def _domain(self, number: int) -> int:
        """What a transition leaves the descendants of, as things are now."""
        table = self.table
        paths = table.paths
        if paths is None or table.plan[number] != RECALLS:
            return table.domain[number]
        paths.memory = self.memory
        targets, external = paths.recalls[number]
        return paths.domain(table.source[number], targets, external)

    def _remember(self, domain: int) -> None:
        """Let the histories inside `domain` remember, before any of their states is left."""
        table = self.table
        paths = table.paths
        memory, leaf = self.memory, self.leaf
        assert paths is not None
        for past in paths.pasts:
            holder = past.parent
            if not (domain < holder < table.end[domain] and self.inside(holder)):
                continue
            state = leaf[table.region[holder]]
            if not past.deep:
                while state != holder and table.parent[state] != holder:
                    state = table.parent[state]
            memory[past.slot] = state
            for i in range(past.nested):
                memory[past.slot + 1 + i] = leaf[past.first + i]

    def _step_many(self, at: int, event: int) -> bool:
        """One microstep that may take a transition in every region; its groups stand after `at`."""
        table = self.table
        candidates = table.candidates
        chosen = self._chosen
        rivals = candidates[at] == RIVALS
        count = 0
        at += 1
        source, end, guard = table.source, table.end, table.guard  # four at once would make a tuple
        group = candidates[at]
        while group:
            leaf = self.leaf[group - 1]
            if not leaf or table.kind[leaf] == PARALLEL:
                leaf = table.states
            at += 1
            number = candidates[at]
            while number:
                state = source[number]
                if state <= leaf < end[state] and (not guard[number] or self._allows(number, event)):
                    chosen[count] = number
                    count += 1
                    leaf = table.states
                at += 1
                number = candidates[at]
            at += 1
            group = candidates[at]
        if rivals:
            count = self._settle_rivals(count)
        if count:
            self._move_all(count, event)
        return count > 0

    def _settle_rivals(self, count: int) -> int:
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
        """Several transitions as one microstep: all exits, all actions, all entries."""
        table = self.table
        chosen, domains, leaf = self._chosen, self._domains, self.leaf
        region, plan, goals = table.region, table.plan, table.goal
        for i in range(count):
            domains[i] = self._domain(chosen[i]) if self._branched else table.domain[chosen[i]]
        for i in range(count - 1, -1, -1):
            number = chosen[i]
            if goals[number]:
                leaf[region[domains[i]]] = domains[i]
            elif plan[number]:
                self._leave(domains[i], event)
        for i in range(count):
            number = chosen[i]
            if table.does[number]:
                self._run(table.does[number], region[table.source[number]], event)
        for i in range(count):
            number = chosen[i]
            goal = goals[number]
            if goal:
                leaf[region[goal]] = goal
            elif plan[number]:
                self._come(number, domains[i], event)
        for i in range(count):
            number = chosen[i]
            place = region[table.source[number]]
            self.touched[table.homes[place]] = 1
            if self.trace is not None:
                if domains[i]:
                    place = region[domains[i]]
                self.trace.add(MOVE, number - 1, leaf[place])
