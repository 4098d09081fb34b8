"""The configuration: which states are active, and what is done when one is entered or left.

It is one state number a region: its leaf. State `s` of region `r` is active when s <= leaf[r] < end[s].
Leaves move with every state left or entered, so that whoever asks in between is told the truth.
"""

from firmware.base.numbers import zeros
from firmware.charts.action_sequence import ActionFailed
from firmware.charts.table import ALL_DONE, CLOCK, DONE, ENTER, EVENT, EXIT, EXTRA, FIRST, GROUP, STOP, Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace
    from firmware.charts.parallel_microstep import ParallelMicrostep

    class Put(Protocol):
        """Queue.put of a queue of events."""

        def __call__(self, event: int, value: int = 0) -> None:
            """Append an event and its argument."""


class Configuration:
    """The active states of a machine, with their actions and timers."""

    def __init__(self, table: Table, timers: "Timers", trace: "Trace | None") -> None:
        self.table = table
        self.timers = timers
        self.trace = trace
        self.touched = bytearray(table.charts)
        self.failed: Exception | None = None  # waits for the end of the macrostep
        self.failures = 0
        self.suppressed = 0  # of them, those that are not raised: others came first, or charts hear of them
        self.new_losses = 0  # what was lost since play.losses looked
        self.pending = False  # there is more to do than the one event at hand
        self.raise_: Put
        self.first_timer = len(timers)
        for i in range(0, len(table.clocks), CLOCK):
            timers.add(table.clocks[i + EVENT], table.clocks[i + GROUP])
        regions = len(table.roots)
        self.leaf = zeros(regions, table.states)
        self.parallel: ParallelMicrostep | None = None

    def is_active(self, state: int) -> bool:
        """Whether `state` is active."""
        return state <= self.leaf[self.table.region[state]] < self.table.end[state]

    def fail(self, failure: Exception) -> None:
        """An action or a guard raised: tell who hears it, or keep it for the end of the macrostep."""
        while isinstance(failure, ActionFailed):
            self._note(failure.cause)
            try:
                failure.run_rest()
                return
            except Exception as more:
                failure = more
        self._note(failure)

    def _note(self, failure: Exception) -> None:
        self.failures += 1
        if self.table.error < 0 and self.failed is None:
            self.failed = failure
            self.pending = True
            return
        self.suppressed += 1
        self.new_losses += 1
        if self.table.error >= 0:
            self.raise_(self.table.error)

    def _timer_restarted(self, number: int, event: int) -> bool:
        """Whether a timer's event is stale: its state was left, and entered again, since it was due."""
        table = self.table
        at = EXTRA * (table.enters[table.source[number]] - len(table.calls))
        for i in range(table.extras[at + FIRST], table.extras[at + STOP]):
            if table.clocks[CLOCK * i + EVENT] == event:
                return self.timers.running(self.first_timer + i)
        return False

    def run(self, do: int, region: int, event: int) -> None:
        """One action; if it raises, that is noted."""
        try:
            self.table.calls[do](self.table.owners[region], event)
        except Exception as failure:
            self.fail(failure)

    def leave(self, state: int, region: int, event: int) -> None:
        """Leave one state."""
        do = self.table.exits[state]
        if do >= len(self.table.calls):
            self.leave_more(do, region, event)
        elif do:
            self.run(do, region, event)

    def leave_more(self, code: int, region: int, event: int) -> None:
        """Leave a state that more belongs to: its action, then its timers stop."""
        extras = self.table.extras
        at = EXTRA * (code - len(self.table.calls))
        if extras[at + EXIT]:
            self.run(extras[at + EXIT], region, event)
        for i in range(extras[at + FIRST], extras[at + STOP]):
            self.timers.stop(self.first_timer + i)

    def enter(self, state: int, region: int, event: int) -> None:
        """Enter one state."""
        self.leaf[region] = state
        do = self.table.enters[state]
        if do >= len(self.table.calls):
            self.enter_more(state, do, region, event)
        elif do:
            self.run(do, region, event)

    def enter_more(self, state: int, code: int, region: int, event: int) -> None:
        """Enter a state that more belongs to: its action, its timers, the done events of a final one."""
        extras = self.table.extras
        at = EXTRA * (code - len(self.table.calls))
        if extras[at + ENTER]:
            self.run(extras[at + ENTER], region, event)
        self.start_timers(code, region)
        if extras[at + DONE]:
            self.raise_(extras[at + DONE] - 1)
        if extras[at + ALL_DONE] and self.parallel is not None:
            parent = self.table.parent
            self.parallel.raise_when_done(parent[parent[state]], extras[at + ALL_DONE] - 1)

    def start_timers(self, code: int, region: int) -> None:
        """Start the timers that belong to a state."""
        table = self.table
        at = EXTRA * (code - len(table.calls))
        for i in range(table.extras[at + FIRST], table.extras[at + STOP]):
            delay = table.delays[i]
            if isinstance(delay, str):
                delay = getattr(table.owners[region], delay)
            self.timers.start(self.first_timer + i, delay)

    def enter_plan(self, plan: int, region: int, event: int) -> None:
        """Enter the states of a plan within one region, or its goal at once."""
        plans, at = self.table.plans, plan - self.table.states
        if at >= 0:
            while plans[at]:
                self.enter(plans[at], region, event)
                at += 1
        elif plan:
            self.enter(plan, region, event)

    def begin(self, chart: int) -> None:
        """Enter one chart when the machine starts."""
        table = self.table
        if self.parallel is not None:
            self.parallel.enter_plan(table.plans, table.starts[chart] - table.states, 0)
        else:
            self.enter_plan(table.starts[chart], chart, 0)
