"""The engine: queues in front of the microstep, and the macrostep around it.

Time and events come from outside; `settle` runs until nothing is left to do.
"""

from firmware.base.errors import ChartError
from firmware.base.trace import MOVE
from firmware.charts import keep
from firmware.charts.moves import Moves
from firmware.charts.queue import ROOM, Queue
from firmware.charts.table import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace

STEPS = 256  # rounds within one macrostep, beyond which it is taken for a livelock
TAKEN = 1024  # external events one call of `settle` takes; the rest wait for the next call


class Engine(Moves):
    """One machine of charts that runs.

    `value` is the argument of the event in progress. `touched` has a byte a chart, set when one of its
    transitions is taken; who looks clears it. `room` is how many events can wait in each queue.
    """

    def __init__(
        self, table: Table, timers: "Timers", trace: "Trace | None" = None, room: int = ROOM
    ) -> None:
        super().__init__(table, timers, trace)
        self.value = 0
        self.busy = False  # an action may be running
        self.stirred = False  # something happened since eventless transitions were last looked at
        self.eventless = table.first[table.eventless] != 0
        self.outer = Queue(table.eventless, self, room)
        self.inner = Queue(table.eventless, self, room)
        self.post = self.outer.put
        self.raise_ = self.inner.put
        # Unpacked where the time goes: that is quicker than looking each up.
        self._seek = (self.leaf, table.first, table.candidates, table.source, table.region, table.end)
        self._take = (
            table.guard,
            len(table.calls),
            table.plan,
            table.states,
            table.parent,
            table.does,
            table.exits,
            table.enters,
            table.calls,
            table.owners,
        )
        self._draining = False
        self._before: Callable[[int], object] | None = None

    @property
    def before_event(self) -> "Callable[[int], object] | None":
        """Called with each external event before its transitions are selected."""
        return self._before

    @before_event.setter
    def before_event(self, call: "Callable[[int], object] | None") -> None:
        self._before = call
        self.pending = True

    @property
    def dropped(self) -> int:
        """How many events found their queue full."""
        return self.outer.dropped + self.inner.dropped

    def start(self) -> None:
        """Enter the initial configuration and settle."""
        self.busy = True
        try:
            for chart in range(self.table.charts):
                self.begin(chart)
                self.touched[chart] = 1
        finally:
            self.busy = False
        self.stir()
        self.settle()

    def stir(self) -> None:
        """The configuration changed without an event: eventless transitions are to be looked at."""
        self.stirred = True
        self.pending = True

    def send(self, event: int, value: int = 0) -> int:
        """`post` and `settle` in one; how many events were taken. `settle` comes through here as well."""
        if self.pending or self.busy or event < 0:
            self.post(event, value)
            return self.settle()
        leaf, first, candidates, source, place, end = self._seek
        at = first[event]
        number = candidates[at]
        while number:
            state = source[number]
            region = place[state]
            if state <= leaf[region] < end[state]:
                break
            at += 1
            number = candidates[at]
            if not number:
                return 1
        if not at:
            return 1
        self.value, self.busy = value, True
        guard, plain, plan, states, parent, does, exits, enters, calls, owners = self._take
        try:
            if number and guard[number]:
                yes: object = False
                try:
                    asked = guard[number]
                    yes = calls[asked](owners[region], event) if asked < plain else self.allows(number, event)
                except Exception as failure:
                    self.fail(failure)
                if not yes:
                    number = self.enabled(at + 1, event)
                    at = 0
            if not number:
                if at:
                    self.step_many(at + 1, event)
            elif not at or plan[number] >= states or self.branches is not None:  # not straight
                self.move(number, event)
            else:
                goal, stage, owner = plan[number], 0, owners[region]
                try:
                    if goal:
                        if exits[state]:
                            calls[exits[state]](owner, event)
                        leaf[region] = parent[goal]
                    stage = 1
                    if does[number]:
                        calls[does[number]](owner, event)
                    stage = 2
                    if goal:
                        leaf[region] = goal
                        if enters[goal]:
                            calls[enters[goal]](owner, event)
                except Exception as failure:
                    self.go_on(number, region, stage, event, failure)
                self.touched[region] = 1
                if self.trace is not None:
                    self.trace.add(MOVE, number - 1, leaf[region])
        finally:
            self.busy = False
        return 1 + self.settle() if self.pending and not self._draining else 1

    def settle(self) -> int:
        """Run to completion until nothing waits; the number of events taken.

        An exception in an action or a guard costs the rest of that action only. It becomes the event
        error.execution if somebody hears that; if not, the macrostep is completed and the first
        such exception raised from here. Nothing that waits is lost: the next call goes on.
        """
        if self.busy or self._draining:
            return 0
        self._draining = True
        try:
            taken = self._drain()
        finally:
            self.busy = False
            self._draining = False
            self.pending = self.stirred or self.eventless or self.outer.count > 0 or self._before is not None
        if self.failed is not None:
            failed = self.failed
            self.failed = None
            raise failed
        return taken

    def _drain(self) -> int:
        outer, inner = self.outer, self.inner
        taken = 0
        steps = 0
        while True:
            steps += 1
            if steps > STEPS:
                self._give_up()
                return taken
            if self.stirred and self.eventless:
                self.busy = True
                moved = self.step(self.table.eventless)
                self.busy = False
                if moved:
                    continue
            self.stirred = False
            if inner.count:
                event = inner.take()
                value = self.value = inner.value
            elif outer.count and self.failed is None and taken < TAKEN:
                event = outer.take()
                value = self.value = outer.value
                steps = 0
                if self._before is not None:
                    self._tell(event)
            else:
                return taken
            self.pending = False
            taken += self.send(event, value)
            self.stirred = True

    def heard(self, event: int) -> bool:
        """Whether any transition hears `event`."""
        return self.table.first[event] != 0

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
        from firmware.charts.snapshot import taken

        return taken(self)

    def restore(self, saved: bytes) -> None:
        """Take up a snapshot of a machine packed from the same charts."""
        from firmware.charts.snapshot import restore

        restore(self, saved)

    def _tell(self, event: int) -> None:
        """Call the hook `before_event`."""
        try:
            self._before(event)  # type: ignore[misc]
        except Exception as failure:
            self.fail(failure)

    def _give_up(self) -> None:
        """The macrostep does not end: drop its internal events and say so."""
        lost = self.inner.clear()
        self.failed = ChartError(
            f"the charts do not rest after {STEPS} steps; {lost} internal events dropped"
        )
