"""The packed charts: what the engine runs, in bytes and arrays."""

from firmware.base.errors import ChartError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import Any

    from firmware.charts.paths import Paths

    Action = Callable[[object, int], object]
    Candidate = tuple[int, int, int, int, int]
    Heard = tuple[Candidate, ...]
    HeardByRegion = tuple[tuple[int, tuple[Candidate, ...]], ...]
    AnyHeard = Any  # HeardByRegion in a branched machine, else Heard: the engine asks once, at set-up

# An event is heard by its candidates, chart by chart, the deepest first: number of the transition, region and
# end of its source, the source, guard. In a branched machine region by region: (region, candidates).

# A guard is a code, a call or a state shifted by three, and these:
NOT = 1
IN = 2
DUE = 4  # of a timed transition: its timer must not have been started anew

# A transition's plan is 0 when it leaves nothing. It is straight, and the plan is its goal, when that is all
# it enters and no state on the way does anything, or it is from one plain state to another. Else it is the
# number of states plus a place among the `plans`: there stands what it enters, up to a 0. The first place
# holds a 0, and is the plan of transitions that depend on what a history remembers. Its domain is the state
# within which everything is left.

# What a state does on entry and on exit is the number of a call, or where more belongs to it the number of
# calls plus that of its record among the `extras`, of these numbers:
ENTER = 0  # its own call on entry
EXIT = 1  # and on exit
FIRST = 2  # its timers: the first of them
STOP = 3  # and one past the last
DONE = 4  # a final state: 1 + the event raised for its holder
ALL_DONE = 5  # and for the parallel state around that, when it is done too
EXTRA = 6

# A timer has three numbers among the `clocks`, in the order of the states.
EVENT = 0
GROUP = 1
CHART = 2
CLOCK = 3


class Table:
    """Everything about a machine of charts that does not change while it runs.

    By state: parent, end (one past its last descendant), region, kind, enters, exits.
    By transition (1 + its place among the rows): source, domain, plan, does.
    By event, and last for eventless transitions: heard.
    """

    # Few machines need these; an attribute of the object takes room in all of them.
    branched = False  # regions inside regions, histories, or a transition that leaves its chart
    kind: "Sequence[int]" = ()
    contents: "tuple[tuple[int, int], ...]" = ()  # by plan code: whose default, what is done
    paths: "Paths | None" = None  # kept where there are histories
    error = -1  # the event error.execution, if somebody hears it

    def __init__(self) -> None:
        empty: Sequence[int] = ()
        self.states = 0
        self.owners: tuple[object, ...] = ()  # by region
        self.names: tuple[str, ...] = ()  # by state: "region/state", a region's root "region"
        self.parent = self.end = self.region = self.enters = self.exits = empty
        self.source = self.domain = self.plan = self.does = empty
        self.extras = empty
        self.heard: tuple[AnyHeard, ...] = ()
        self.calls: tuple[Action, ...] = ()  # actions and guards by number, from 1 on
        self.plans = empty
        self.starts = empty  # by chart: the plan of its start
        self.roots = self.homes = empty  # by region: its topmost state, its chart
        self.delays: tuple[int | str, ...] = ()  # by timer
        self.clocks = empty

    @property
    def charts(self) -> int:
        """How many charts there are."""
        return len(self.starts)

    @property
    def eventless(self) -> int:
        """What stands for the event of eventless transitions."""
        return len(self.heard) - 1

    def find(self, path: str) -> int:
        """The number of the state "region/state", or of the region's root "region"."""
        if path in self.names:
            return self.names.index(path)
        from firmware.charts.suggest import did_you_mean

        raise ChartError(f"there is no state '{path}'{did_you_mean(path, list(self.names[1:]))}")

    def path(self, state: int) -> str:
        """The name of a state as `find` takes it."""
        return self.names[state]
