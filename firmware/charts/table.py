"""The packed charts: what the engine runs, in bytes and arrays."""

import sys
from array import array

from firmware.base.errors import ChartError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, MutableSequence, Sequence

    from firmware.charts.paths import Paths

    Action = Callable[[object, int], object]

# kinds of states
ATOMIC = 0
COMPOUND = 1
PARALLEL = 2
FINAL = 3

# At an event's `first` stand its candidates, the deepest first, up to a 0: at most one can be enabled.
# Where several can, a 0 stands there, and then the candidates chart by chart up to a 0; in a branched
# machine for each region that can answer 1 + the region and its candidates up to a 0, and then a 0.

# A guard is the number of the call to ask, or the number of calls plus a place among the `guards`,
# where codes stand: a call or a state shifted by three, and these.
NOT = 1
IN = 2
DUE = 4  # of a timed transition: its timer must not have been started anew

# A transition's plan is where in `plans` the states it enters stand, or one of these, or `straight` plus
# its goal when no state on the way out and in does anything, or when it is from one plain state to another.
STAYS = 0
RECALLS = 1

# What more there is to a state than its actions: five numbers from its place among the `extras` on.
FIRST = 0  # its timers: the first of them
STOP = 1  # and one past the last
DONE = 2  # a final state: 1 + the event raised for its holder
AROUND = 3  # the parallel state around the holder
ALL_DONE = 4  # and 1 + the event raised when that is done too
EXTRA = 5

ROOMY = sys.implementation.name == "cpython"  # reads tuples twice as fast as arrays, and has the memory


def tight(values: "list[int]") -> "Sequence[int]":
    """`values` to be read often: on a board in bytes where they fit, else where it is quickest."""
    if ROOMY:
        return tuple(values)
    return array("B" if max(values or [0]) < 256 else "H", values)


def loose(size: int, most: int) -> "MutableSequence[int]":
    """`size` zeros to be overwritten with numbers up to `most`."""
    if ROOMY:
        return [0] * size
    return array("B" if most < 256 else "H", [0] * size)


class Clocks:
    """The timers behind `after` rows, in the order of their states."""

    def __init__(self) -> None:
        self.delays: tuple[int | str, ...] = ()
        self.groups: Sequence[int] = ()
        self.events: Sequence[int] = ()
        self.charts: Sequence[int] = ()


class Table:
    """Everything about a machine of charts that does not change while it runs.

    By state: parent, end (one past its last descendant), region, kind, enters, exits, extra.
    By transition (1 + its place among the rows): source, guard, does, domain, plan.
    By event: first (where its candidates begin), 0 when nobody hears it.
    """

    def __init__(self) -> None:
        empty: Sequence[int] = ()
        self.states = 0
        self.charts = 0
        self.branched = False  # regions inside regions, histories, or a transition that leaves its chart
        self.owners: tuple[object, ...] = ()  # by region
        self.names: tuple[str, ...] = ()
        self.parent = self.end = self.region = self.enters = self.exits = empty
        self.extra = self.extras = empty
        self.kind = empty  # only of a branched machine
        self.source = self.guard = self.does = self.domain = self.plan = empty
        self.guards = empty
        self.first = self.candidates = empty
        self.calls: tuple[Action, ...] = ()  # actions and guards by number, from 1 on
        self.plans = self.starts = empty  # entry sets, each up to a 0; by chart: the plan of its start
        self.straight = 0
        self.contents: tuple[tuple[int, int], ...] = ()  # by plan code: whose default, what is done
        self.roots = self.homes = empty  # by region: its topmost state, its chart
        self.clocks = Clocks()
        self.eventless = 0  # stands for the event of eventless transitions
        self.error = -1  # the event error.execution, if somebody hears it
        self.paths: Paths | None = None  # kept where there are histories

    def find(self, path: str) -> int:
        """The number of the state "region/state", or of the region's root "region"."""
        for state in range(1, self.states):
            if self.path(state) == path:
                return state
        from firmware.charts.near import meant

        known = [self.path(state) for state in range(1, self.states)]
        raise ChartError(f"there is no state '{path}'{meant(path, known)}")

    def path(self, state: int) -> str:
        """The name of a state as `find` takes it."""
        root = self.roots[self.homes[self.region[state]]]
        return self.names[root] if state == root else self.names[root] + "/" + self.names[state]
