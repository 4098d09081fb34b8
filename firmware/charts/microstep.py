"""The microstep: which transitions an event enables, and what taking them does.

Appendix D of the W3C SCXML Recommendation (2015): selectTransitions, exitStates,
executeTransitionContent, enterStates. parallel_microstep.py has what only machines with regions inside
regions or histories need. Nothing here allocates. This is where the time goes: a board may have it as
machine code.
"""

from firmware.base.numbers import zeros
from firmware.base.trace import MOVE
from firmware.charts.configuration import Configuration
from firmware.charts.table import DUE, IN, NOT, Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace
    from firmware.charts.parallel_microstep import ParallelMicrostep


def _parallel(microstep: "Microstep") -> "ParallelMicrostep":
    # Loaded only where it is needed: most machines do without, and a board has no memory to spare.
    from firmware.charts.parallel_microstep import ParallelMicrostep

    return ParallelMicrostep(microstep)


class Microstep(Configuration):
    """The ways a configuration can change. `value` is the argument of the event in progress."""

    def __init__(self, table: Table, timers: "Timers", trace: "Trace | None") -> None:
        super().__init__(table, timers, trace)
        regions = len(table.roots)
        self._chosen = zeros(regions, len(table.source))  # the transitions of a microstep,
        self._regions = zeros(regions, regions)  # and the charts they are of
        self.value = 0
        self.moved = False  # a transition was taken; who looks for it clears it
        self.is_dirty = False  # eventless transitions are to be looked at
        self._eventless_states = eventless_states(table)
        self.parallel = _parallel(self) if table.branched else None
        self._heard = table.heard
        # Unpacked where the time goes: that is quicker than looking each up.
        self._movement = (
            self.leaf,
            table.states,
            table.plan,
            table.domain,
            table.does,
            table.exits,
            table.enters,
            table.parent,
            table.owners,
            table.calls,
        )

    def mark_dirty(self) -> None:
        """The configuration changed without an event: the next `settle` looks at eventless transitions."""
        self.is_dirty = True
        self.pending = True
        self.moved = True

    def take(self, event: int, value: int, before: "Callable[[int], object] | None") -> None:
        """One microstep, and whether eventless transitions are to be looked at after it."""
        self.value = value
        if before is not None:
            try:
                before(event)
            except Exception as failure:
                self.fail(failure)
        self.step(event)
        for region, state, end in self._eventless_states:
            if state <= self.leaf[region] < end:
                self.is_dirty = self.pending = True

    def step(self, event: int) -> bool:
        """One microstep on `event`; whether any transition was taken."""
        heard = self._heard[event]
        if not heard:
            return False
        if self.parallel is not None:
            moved = self.parallel.step_many(heard, event)
            self.moved = self.moved or moved
            return moved
        leaf, chosen, regions = self.leaf, self._chosen, self._regions
        count = 0
        answered = -1
        for number, region, state, end, guard in heard:
            if (
                state <= leaf[region] < end
                and region != answered
                and (not guard or self.allows(number, region, guard, event))
            ):
                chosen[count] = number
                regions[count] = answered = region
                count += 1
        if count == 1:
            self.move(chosen[0], answered, event)
        elif count:
            self._move_all(count, event)
        return count > 0

    def allows(self, number: int, region: int, guard: int, event: int) -> object:
        """Whether the guard of a transition of chart `region` holds; one that raises does not."""
        try:
            if guard & 7:
                return self._allows_more(number, region, guard, event)
            return self.table.calls[guard >> 3](self.table.owners[region], event)
        except Exception as failure:
            self.fail(failure)
            return False

    def _allows_more(self, number: int, region: int, guard: int, event: int) -> bool:
        """A guard with 'in', 'not', or a timer that must not have been started anew."""
        if guard & DUE and self._timer_restarted(number, event):
            return False
        if guard < 8:
            return True
        if guard & IN:
            yes: object = self.is_active(guard >> 3)
        else:
            yes = self.table.calls[guard >> 3](self.table.owners[region], event)
        return not yes if guard & NOT else bool(yes)

    def move(self, number: int, region: int, event: int) -> None:
        """One transition by itself, of the chart `region`; in line, because this is where the time goes."""
        leaf, states, plan, domain, does, exits, enters, parent, owners, calls = self._movement
        goal, do = plan[number], does[number]
        if goal:
            state, stop = leaf[region], domain[number]
            while state != stop:
                if exits[state]:
                    self.leave(state, region, event)
                leaf[region] = state = parent[state]
        if do:
            try:
                calls[do](owners[region], event)
            except Exception as failure:
                self.fail(failure)
        if goal:
            if goal >= states or enters[goal]:
                self.enter_plan(goal, region, event)
            else:
                leaf[region] = goal
        self.touched[region] = 1
        self.moved = True
        if self.trace is not None:
            self.trace.add(MOVE, number - 1, leaf[region])

    def _move_all(self, count: int, event: int) -> None:
        """A transition in each of several charts as one microstep: exits, actions, entries."""
        leaf, states, plan, domain, does, _exits, enters, parent, owners, calls = self._movement
        chosen, regions = self._chosen, self._regions
        for i in range(count - 1, -1, -1):
            if plan[chosen[i]]:
                region, stop = regions[i], domain[chosen[i]]
                while leaf[region] != stop:
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
        self.moved = True


def eventless_states(table: Table) -> "tuple[tuple[int, int, int], ...]":
    """Region, number, end of each state with eventless transitions; of a root in a branched machine."""
    heard = table.heard[table.eventless]
    found: list[int] = []
    if heard and table.branched:
        found.append(table.roots[0])
    else:
        for _number, _region, state, _end, _guard in heard:
            if state not in found:
                found.append(state)
    return tuple([(table.region[state], state, table.end[state]) for state in found])
