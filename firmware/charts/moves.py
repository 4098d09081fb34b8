"""The microstep: which transitions an event enables, and what taking them does.

Appendix D of the W3C SCXML Recommendation (2015): selectTransitions, exitStates,
executeTransitionContent, enterStates. The configuration is one state number a region: its leaf.
State `s` of region `r` is active when s <= leaf[r] < end[s]. Leaves move with every state left or
entered, so that whoever asks in between is told the truth. What only machines with regions inside
regions or histories need is in branches.py. Nothing here allocates.
"""

from firmware.base.trace import MOVE
from firmware.charts.several import Broken
from firmware.charts.table import (
    ALL_DONE,
    CLOCK,
    DONE,
    DUE,
    ENTER,
    EVENT,
    EXIT,
    EXTRA,
    FIRST,
    GROUP,
    IN,
    NOT,
    STOP,
    Table,
    loose,
)

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace
    from firmware.charts.branches import Branches


def _branches(moves: "Moves") -> "Branches":
    # Loaded only where it is needed: most machines do without, and a board has no memory to spare.
    from firmware.charts.branches import Branches

    return Branches(moves)


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
        for i in range(0, len(table.clocks), CLOCK):
            timers.add(table.clocks[i + EVENT], table.clocks[i + GROUP])
        regions = len(table.roots)
        self.leaf = loose(regions, table.states)
        self._chosen = loose(regions, len(table.source))  # the transitions of a microstep,
        self._regions = loose(regions, regions)  # and the charts they are of
        self.branches = _branches(self) if table.branched else None
        # Unpacked where the time goes: that is quicker than looking each up.
        self._seek = (self.leaf, table.first, table.candidates, table.source, table.region, table.end)
        self._ways = (
            self.leaf,
            table.plan,
            table.does,
            table.exits,
            table.enters,
            table.parent,
            table.owners,
            table.calls,
        )

    def inside(self, state: int) -> bool:
        """Whether `state` is active."""
        return state <= self.leaf[self.table.region[state]] < self.table.end[state]

    def step(self, event: int) -> bool:
        """One microstep on `event`; whether any transition was taken."""
        leaf, first, candidates, source, place, end = self._seek
        at = first[event]
        if not at:
            return False
        if self.branches is not None:
            return self.branches.step_many(at + 1, event)
        guard, chosen, regions = self.table.guard, self._chosen, self._regions
        number = candidates[at]
        one_chart = number > 0
        if not one_chart:
            at += 1
            number = candidates[at]
        count = 0
        answered = len(leaf)
        while number:
            state = source[number]
            region = place[state]
            if (
                region != answered
                and state <= leaf[region] < end[state]
                and (not guard[number] or self.allows(number, event))
            ):
                chosen[count] = number
                regions[count] = region
                count += 1
                if one_chart:
                    break
                answered = region
            at += 1
            number = candidates[at]
        if count == 1:
            self.move(chosen[0], regions[0], event)
        elif count:
            self._move_all(count, event)
        return count > 0

    def fail(self, failure: Exception) -> None:
        """An action or a guard raised: tell who hears it, or keep it for the end of the macrostep."""
        if isinstance(failure, Broken):
            self.fail(failure.cause)
            try:
                failure.go_on()
            except Exception as more:
                self.fail(more)
            return
        self.failures += 1
        if self.table.error >= 0:
            self.raise_(self.table.error)
        elif self.failed is None:
            self.failed = failure
            self.pending = True

    def allows(self, number: int, event: int) -> bool:
        """Whether the guard of a transition holds; one that raises does not."""
        table = self.table
        code = table.guard[number]
        code = table.guards[code - len(table.calls)] if code >= len(table.calls) else code << 3
        if code & DUE and self._running_again(number, event):
            return False
        if code < 8:
            return True
        if code & IN:
            yes: object = self.inside(code >> 3)
        else:
            try:
                yes = table.calls[code >> 3](table.owners[table.region[table.source[number]]], event)
            except Exception as failure:
                self.fail(failure)
                return False
        return not yes if code & NOT else bool(yes)

    def _running_again(self, number: int, event: int) -> bool:
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

    def move(self, number: int, region: int, event: int) -> None:
        """One transition by itself, of the chart `region`; in line, because this is where the time goes."""
        leaf, plan, does, exits, enters, parent, owners, calls = self._ways
        goal, states = plan[number], self.table.states
        if goal:
            state, domain = leaf[region], parent[goal] if goal < states else self.table.plans[goal - states]
            while state != domain:
                if exits[state]:
                    self.leave(state, region, event)
                state = parent[state]
                leaf[region] = state
        if does[number]:
            try:
                calls[does[number]](owners[region], event)
            except Exception as failure:
                self.fail(failure)
        if goal:
            if goal >= states or enters[goal]:
                self.enter_plan(goal, region, event)
            else:
                leaf[region] = goal
        self.touched[region] = 1
        if self.trace is not None:
            self.trace.add(MOVE, number - 1, leaf[region])

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
        if extras[at + ALL_DONE] and self.branches is not None:
            parent = self.table.parent
            self.branches.raise_when_done(parent[parent[state]], extras[at + ALL_DONE] - 1)

    def start_timers(self, code: int, region: int) -> None:
        """Start the timers that belong to a state."""
        table = self.table
        at = EXTRA * (code - len(table.calls))
        for i in range(table.extras[at + FIRST], table.extras[at + STOP]):
            delay = table.delays[i]
            if isinstance(delay, str):
                delay = getattr(table.owners[region], delay)
            self.timers.start(self.first_timer + i, delay)

    def _move_all(self, count: int, event: int) -> None:
        """A transition in each of several charts as one microstep: exits, actions, entries."""
        leaf, plan, does, _exits, enters, parent, owners, calls = self._ways
        chosen, regions, states = self._chosen, self._regions, self.table.states
        for i in range(count - 1, -1, -1):
            goal = plan[chosen[i]]
            if goal:
                region = regions[i]
                domain = parent[goal] if goal < states else self.table.plans[goal - states]
                while leaf[region] != domain:
                    self.leave(leaf[region], region, event)
                    leaf[region] = parent[leaf[region]]
        for i in range(count):
            do = does[chosen[i]]
            if do:
                try:
                    calls[do](owners[regions[i]], event)
                except Exception as failure:
                    self.fail(failure)
        touched, trace = self.touched, self.trace
        for i in range(count):
            number, region = chosen[i], regions[i]
            goal = plan[number]
            if goal:
                if goal >= states or enters[goal]:
                    self.enter_plan(goal, region, event)
                else:
                    leaf[region] = goal
            touched[region] = 1
            if trace is not None:
                trace.add(MOVE, number - 1, leaf[region])

    def enter_plan(self, plan: int, region: int, event: int) -> None:
        """Enter the states of a plan within one region, or its goal at once."""
        plans, at = self.table.plans, plan - self.table.states + 1
        if at > 0:
            while plans[at]:
                self.enter(plans[at], region, event)
                at += 1
        elif plan:
            self.enter(plan, region, event)

    def begin(self, chart: int) -> None:
        """Enter one chart when the machine starts."""
        table = self.table
        if self.branches is not None:
            self.branches.enter_plan(table.plans, table.starts[chart] - table.states + 1, 0)
        else:
            self.enter_plan(table.starts[chart], chart, 0)
