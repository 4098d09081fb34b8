"""The engine: runs packed charts as appendix D of the W3C SCXML Recommendation (2015) lays down.

The configuration is one state number a region: its leaf. State `s` of region `r` is active when
s <= leaf[r] < end[s]; a region that is not active has leaf 0. Leaves move with every state left
or entered, so that a guard or an action asking `inside` in between sees the truth.
"""

from array import array

from firmware.base.errors import ChartError
from firmware.base.trace import MOVE
from firmware.charts import keep
from firmware.charts.paths import COMPOUND, FINAL, PARALLEL
from firmware.charts.queue import Queue
from firmware.charts.table import DUE, IN, NOT, ONE, RECALLS, RIVALS, Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace
    from firmware.charts.table import Extra

STEPS = 256  # microsteps within one macrostep, beyond which it is taken for a livelock
TAKEN = 1024  # external events one call of `settle` takes; the rest wait for the next call


class Engine:
    """One machine of charts, its queues and its configuration."""

    def __init__(self, table: Table, timers: "Timers", trace: "Trace | None" = None) -> None:
        self.table = table
        self.timers = timers
        self.trace = trace
        self.value = 0
        self.touched = bytearray(table.charts)
        self.before_event: Callable[[int], object] | None = None
        self.failed: Exception | None = None  # waits for the end of the macrostep
        self.failures = 0
        self.first_timer = len(timers)
        for i in range(len(table.timed)):
            timers.add(table.timed[i], table.groups[i])
        code = "B" if table.states < 256 else "H"
        self.leaf = array(code, [0] * len(table.roots))
        self.memory = array(code, [0] * len(table.slot_charts))
        self._chosen = [0] * len(table.roots)
        self._domains = [0] * len(table.roots)
        self.outer = Queue(table.eventless)
        self.inner = Queue(table.eventless)
        self.post = self.outer.put
        self.raise_ = self.inner.put
        self.busy = False
        self.stirred = False  # something happened since eventless transitions were last looked at

    @property
    def dropped(self) -> int:
        """How many events found their queue full."""
        return self.outer.dropped + self.inner.dropped

    def start(self) -> None:
        """Enter the initial configuration and settle."""
        self.busy = True
        try:
            for chart in range(self.table.charts):
                self._enter(self.table.plans, self.table.starts[chart], 0)
                self.touched[chart] = 1
        finally:
            self.busy = False
        self.stirred = True
        self.settle()

    def settle(self) -> int:
        """Run to completion until nothing waits; the number of events taken.

        An exception in an action or a guard costs the rest of that action only. It becomes the event
        error.execution if somebody hears that; if not, the macrostep is completed and the first
        such exception raised from here. Nothing that waits is lost: the next call goes on.
        """
        if self.busy:
            return 0
        self.busy = True
        taken = 0
        steps = 0
        outer, inner, answers = self.outer, self.inner, self.table.answers
        eventless = self.table.eventless
        try:
            while True:
                steps += 1
                if steps > STEPS:
                    self._give_up()
                    break
                if self.stirred and answers[eventless] and self._step(eventless):
                    continue
                if inner.count:
                    event = inner.take()
                    self.value = inner.value
                elif outer.count and self.failed is None and taken < TAKEN:
                    event = outer.take()
                    self.value = outer.value
                    steps = 0
                    if self.before_event is not None:
                        self._tell(event)
                else:
                    self.stirred = False
                    break
                taken += 1
                self.stirred = True
                if answers[event]:
                    self._step(event)
        finally:
            self.busy = False
        if self.failed is not None:
            failed = self.failed
            self.failed = None
            raise failed
        return taken

    def inside(self, state: int) -> bool:
        """Whether `state` is active."""
        return state <= self.leaf[self.table.region[state]] < self.table.end[state]

    def heard(self, event: int) -> bool:
        """Whether any transition hears `event`."""
        return self.table.answers[event] != 0

    def state_id(self, path: str) -> int:
        """The number of the state called "region/state", or of a region's root."""
        return self.table.find(path)

    def restart_region(self, chart: int) -> None:
        """Put one chart back where it started, without actions; its timers too."""
        keep.restart(self, chart)

    def region_size(self, chart: int) -> int:
        """How many bytes `save_region` writes."""
        return keep.region_size(self, chart)

    def save_region(self, chart: int, out: bytearray, offset: int = 0) -> int:
        """Write one chart's configuration, history and timers; how many bytes."""
        return keep.save_region(self, chart, out, offset)

    def load_region(self, chart: int, saved: "bytes | bytearray", offset: int = 0) -> int:
        """Take up what `save_region` wrote, without actions; how many bytes."""
        return keep.load_region(self, chart, saved, offset)

    def snapshot(self) -> bytes:
        """Configuration, history, timers and queues."""
        return keep.snapshot(self)

    def restore(self, saved: bytes) -> None:
        """Take up a snapshot of a machine packed from the same charts."""
        keep.restore(self, saved)

    def _step(self, event: int) -> bool:
        """One microstep on `event`; whether any transition was taken."""
        table = self.table
        first = table.first[event]
        stop = table.first[event + 1]
        if table.answers[event] != ONE:
            return self._step_many(event, first, stop)
        leaf, source, end = self.leaf, table.source, table.end
        for i in range(first, stop):
            number = table.candidates[i]
            state = source[number]
            if state <= leaf[table.region[state]] < end[state] and (
                not table.guard[number] or self._allows(number, event)
            ):
                self._move(number, event)
                return True
        return False

    def _allows(self, number: int, event: int) -> bool:
        """Whether the guard of a transition holds; one that raises does not."""
        table = self.table
        code = table.guard[number]
        if code & DUE and self._running_again(number, event):
            return False
        if code < 8:
            return True
        if code & IN:
            yes = self.inside(code >> 3)
        else:
            call = table.calls[code >> 3]
            assert call is not None
            try:
                yes = bool(call(table.owners[table.chart[number]], event))
            except Exception as failure:
                self._fail(failure)
                return False
        return not yes if code & NOT else yes

    def _running_again(self, number: int, event: int) -> bool:
        """Whether a timer's event is stale: its state was left, and entered again, since it was due."""
        table = self.table
        extra = table.extras[table.extra[table.source[number]] - 1]
        for i in range(extra.first, extra.stop):
            if table.timed[i] == event:
                return self.timers.running(self.first_timer + i)
        return False

    def _move(self, number: int, event: int) -> None:
        """One transition by itself."""
        table = self.table
        chart = table.chart[number]
        plan = table.plan[number]
        plans = table.plans
        domain = table.domain[number]
        if plan:
            if plan == RECALLS:
                domain = self._domain(number)
            if self.memory:
                self._remember(domain)
            self._leave(domain, event)
        if table.does[number]:
            self._run(table.does[number], table.owners[chart], event)
        if plan == RECALLS:
            self._recall(number, domain, event)
        elif plan:
            self._enter(plans, plan, event)
        self._note(number, domain)

    def _note(self, number: int, domain: int) -> None:
        """Mark and record that a transition was taken."""
        table = self.table
        self.touched[table.chart[number]] = 1
        if self.trace is not None:
            state = domain if domain else table.source[number]
            self.trace.add(MOVE, number, self.leaf[table.region[state]])

    def _run(self, do: int, owner: object, event: int) -> None:
        """The actions from `do` on; one that raises does not keep the others from running."""
        calls = self.table.calls
        call = calls[do]
        while call is not None:
            try:
                call(owner, event)
            except Exception as failure:
                self._fail(failure)
            do += 1
            call = calls[do]

    def _fail(self, failure: Exception) -> None:
        self.failures += 1
        if self.table.error >= 0:
            self.raise_(self.table.error)
        elif self.failed is None:
            self.failed = failure

    def _tell(self, event: int) -> None:
        """Call the hook `before_event`."""
        assert self.before_event is not None
        try:
            self.before_event(event)
        except Exception as failure:
            self._fail(failure)

    def _give_up(self) -> None:
        """The macrostep does not end: drop its internal events and say so."""
        lost = self.inner.clear()
        self.failed = ChartError(
            f"the charts do not rest after {STEPS} steps; {lost} internal events dropped"
        )

    def _leave(self, domain: int, event: int) -> None:
        """Leave the active descendants of `domain`, the last in document order first."""
        table = self.table
        nested = len(table.roots) - table.charts
        if domain:
            if nested:
                self._leave_nested(domain, event)
            self._climb(table.region[domain], domain, event)
            return
        for chart in range(table.charts - 1, -1, -1):
            if nested:
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
        leaf = self.leaf
        state = leaf[region]
        while state != stop:
            if table.exits[state]:
                self._run(table.exits[state], table.owners[table.homes[region]], event)
            if table.extra[state]:
                extra = table.extras[table.extra[state] - 1]
                for i in range(extra.first, extra.stop):
                    self.timers.stop(self.first_timer + i)
            state = table.parent[state]
            leaf[region] = state

    def _enter(self, plans: "array[int]", at: int, event: int) -> None:
        """Enter the states of a plan, from `at` up to its 0."""
        table = self.table
        state = plans[at]
        while state:
            if state < table.states:
                region = table.region[state]
                self.leaf[region] = state
                if table.enters[state]:
                    self._run(table.enters[state], table.owners[table.homes[region]], event)
                if table.extra[state]:
                    self._enter_extra(table.extras[table.extra[state] - 1], region)
            else:
                holder, do = table.contents[state - table.states]
                self._run(do, table.owners[table.homes[table.region[holder]]], event)
            at += 1
            state = plans[at]

    def _enter_extra(self, extra: "Extra", region: int) -> None:
        """Start a state's timers; raise the done events of a final one."""
        self.start_timers(extra, self.table.homes[region])
        if extra.done >= 0:
            self.raise_(extra.done)
        if extra.all_done >= 0 and self._is_done(extra.around):
            self.raise_(extra.all_done)

    def start_timers(self, extra: "Extra", chart: int) -> None:
        """Start the timers that belong to one state."""
        for i in range(extra.first, extra.stop):
            delay = self.table.delays[i]
            if isinstance(delay, str):
                delay = getattr(self.table.owners[chart], delay)
            self.timers.start(self.first_timer + i, delay)

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
        """The domain of a transition through a history, as things are now."""
        paths = self.table.paths
        assert paths is not None
        paths.memory = self.memory
        targets, external = self.table.recalls[number]
        return paths.domain(self.table.source[number], targets, external)

    def _recall(self, number: int, domain: int, event: int) -> None:
        """Enter what a transition through a history leads to."""
        paths = self.table.paths
        assert paths is not None
        paths.memory = self.memory
        paths.entry(self.table.recalls[number][0], domain)
        self._enter(paths.out, 0, event)

    def _remember(self, domain: int) -> None:
        """Let the histories inside `domain` remember, before any of their states is left."""
        table = self.table
        memory, leaf = self.memory, self.leaf
        for past in table.pasts:
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

    def _step_many(self, event: int, at: int, stop: int) -> bool:
        """One microstep that may take a transition in every region."""
        table = self.table
        chosen = self._chosen
        count = 0
        while at < stop:
            leaf = self.leaf[table.candidates[at]]
            at += 2
            after = at + table.candidates[at - 1]
            if leaf and table.kind[leaf] != PARALLEL:
                while at < after:
                    number = table.candidates[at]
                    state = table.source[number]
                    if state <= leaf < table.end[state] and (
                        not table.guard[number] or self._allows(number, event)
                    ):
                        chosen[count] = number
                        count += 1
                        break
                    at += 1
            at = after
        if count and table.answers[event] == RIVALS:
            count = self._settle_rivals(count)
        if count == 1:
            self._move(chosen[0], event)
        elif count:
            self._move_all(count, event)
        return count > 0

    def _settle_rivals(self, count: int) -> int:
        """removeConflictingTransitions, in place; how many are left."""
        table = self.table
        chosen = self._chosen
        kept = 0
        for i in range(count):
            number = chosen[i]
            source = table.source[number]
            preempted = False
            for j in range(kept):
                other = chosen[j]
                if number == other or (
                    self._conflict(number, other)
                    and not table.source[other] < source < table.end[table.source[other]]
                ):
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
        d = self._domain(a) if table.plan[a] == RECALLS else table.domain[a]
        e = self._domain(b) if table.plan[b] == RECALLS else table.domain[b]
        return d <= e < table.end[d] or e <= d < table.end[e]

    def _move_all(self, count: int, event: int) -> None:
        """Several transitions as one microstep: all exits, all actions, all entries."""
        table = self.table
        chosen = self._chosen
        domains = self._domains
        for i in range(count):
            number = chosen[i]
            domains[i] = self._domain(number) if table.plan[number] == RECALLS else table.domain[number]
        if self.memory:
            for i in range(count):
                if table.plan[chosen[i]]:
                    self._remember(domains[i])
        for i in range(count - 1, -1, -1):
            if table.plan[chosen[i]]:
                self._leave(domains[i], event)
        for i in range(count):
            number = chosen[i]
            if table.does[number]:
                self._run(table.does[number], table.owners[table.chart[number]], event)
        for i in range(count):
            number = chosen[i]
            if table.plan[number] == RECALLS:
                self._recall(number, domains[i], event)
            elif table.plan[number]:
                self._enter(table.plans, table.plan[number], event)
        for i in range(count):
            self._note(chosen[i], domains[i])
