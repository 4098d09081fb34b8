"""The packed charts: what the engine runs, in bytes and arrays."""

from array import array

from firmware.base.errors import ChartError
from firmware.charts.near import meant

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.charts.paths import Past, Paths

    Action = Callable[[object, int], object]

# answers, by event
NOBODY = 0
ONE = 1  # at most one transition can be enabled: candidates, the deepest first
MANY = 2  # groups of (region, how many, candidates), one for each region that can answer
RIVALS = 3  # as MANY, and two of the answers may be in conflict

# guard codes: an index shifted by three, and these
NOT = 1
IN = 2
DUE = 4  # of a timed transition: its timer must not have been started anew

# plan codes
STAYS = 0
RECALLS = 1


def tight(values: "list[int]") -> "array[int]":
    """`values` in an array of bytes where they fit, of 16-bit words where not."""
    most = 0
    for value in values:
        if value > most:
            most = value
    return array("B" if most < 256 else "H", values)


class Extra:
    """What is more to entering and leaving a state than its actions."""

    def __init__(self) -> None:
        self.first = 0  # its timers among the table's
        self.stop = 0
        self.done = -1  # a final state: the event raised for its holder
        self.around = 0  # the parallel state around the holder
        self.all_done = -1  # and the event raised when that is done too


class Table:
    """Everything about a machine of charts that does not change while it runs.

    By state: parent, end (one past its last descendant), region, kind, enters, exits, extra.
    By transition (in the order of the rows): source, guard, does, domain, plan, chart.
    By event: answers, first (where its candidates begin).
    """

    def __init__(self) -> None:
        empty = array("B")
        self.states = 0
        self.charts = 0
        self.owners: tuple[object, ...] = ()
        self.names: tuple[str, ...] = ()
        self.parent = self.end = self.region = self.kind = self.enters = self.exits = self.extra = empty
        self.source = self.guard = self.does = self.domain = self.plan = self.chart = empty
        self.answers = b""
        self.first = self.candidates = empty
        self.calls: tuple[Action | None, ...] = (None,)
        self.plans = self.starts = empty  # entry sets, each up to a 0; by chart: that of its start
        self.contents: tuple[tuple[int, int], ...] = ()  # by plan code: whose default, what is done
        self.extras: tuple[Extra, ...] = ()
        self.roots = self.homes = empty  # by region: its topmost state, its chart
        self.delays: tuple[int | str, ...] = ()
        self.groups = self.timed = self.timer_charts = empty
        self.eventless = 0  # the answers' index of eventless transitions
        self.error = -1  # the event error.execution, if somebody hears it
        self.recalls: dict[int, tuple[tuple[int, ...], bool]] = {}
        self.paths: Paths | None = None  # kept for transitions through a history
        self.pasts: tuple[Past, ...] = ()
        self.slot_charts = empty

    def find(self, path: str) -> int:
        """The number of the state "region/state", or of the region's root "region"."""
        slash = path.find("/")
        region = path if slash < 0 else path[:slash]
        for chart in range(self.charts):
            root = self.roots[chart]
            if self.names[root] == region:
                if slash < 0:
                    return root
                for state in range(root + 1, self.end[root]):
                    if self.names[state] == path[slash + 1 :]:
                        return state
        raise ChartError(f"there is no state '{path}'{meant(path, self.paths_of_states())}")

    def path(self, state: int) -> str:
        """The name of a state as `find` takes it."""
        chart = self.homes[self.region[state]]
        root = self.roots[chart]
        return self.names[root] if state == root else self.names[root] + "/" + self.names[state]

    def paths_of_states(self) -> "list[str]":
        """Every state's path, by number, the root left out."""
        return [self.path(state) for state in range(1, self.states)]
