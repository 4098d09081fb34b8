"""The engine: queues in front of the microstep, and the macrostep around it.

Time and events come from outside; `settle` runs until nothing is left to do.
"""

from firmware.base.errors import Livelock
from firmware.charts import region_state
from firmware.charts.microstep import Microstep
from firmware.charts.queue import ROOM, Queue
from firmware.charts.table import Table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace

MAX_MICROSTEPS = 256  # rounds within one macrostep, beyond which it is taken for a livelock
MAX_EVENTS = 1024  # external events one call of `settle` takes; the rest wait for the next call


class Engine(Microstep):
    """One machine of charts that runs.

    `value` is the argument of the event in progress. `touched` has a byte a chart, set when one of its
    transitions is taken; who looks clears it. `room` is how many events can wait in each queue.
    `plays_on`: a livelock is only counted, not raised.
    """

    def __init__(
        self, table: Table, timers: "Timers", trace: "Trace | None" = None, room: int = ROOM
    ) -> None:
        super().__init__(table, timers, trace)
        self.busy = False  # an event is being taken: what is sent meanwhile waits
        self.before_event: Callable[[int], object] | None = None
        self.plays_on = False
        self.livelocks = 0  # macrosteps that had to be ended
        self.refused = 0  # snapshots that were not taken up
        self.external = Queue(table.eventless, self, room)
        self.internal = Queue(table.eventless, self, room)
        self.post = self.external.put
        self.raise_ = self.internal.put
        self._eventless = table.eventless

    @property
    def dropped(self) -> int:
        """How many events found their queue full."""
        return self.external.dropped + self.internal.dropped

    def start(self) -> None:
        """Enter the initial configuration and settle."""
        self.busy = True
        try:
            for chart in range(self.table.charts):
                self.begin(chart)
                self.touched[chart] = 1
        finally:
            self.busy = False
        self.mark_dirty()
        self.settle()

    def send(self, event: int, value: int = 0) -> int:
        """`post` and `settle` in one; how many events were taken."""
        if self.pending or self.busy or event < 0:
            self.post(event, value)
            return self.settle()
        self.busy = True
        try:
            self.take(event, value, self.before_event)
        finally:
            self.busy = False
        return 1 + self.settle() if self.pending else 1

    def settle(self) -> int:
        """Run to completion until nothing waits; the number of events taken.

        An exception in an action or a guard costs the rest of that action only. It becomes the event
        error.execution if somebody hears that; if not, the macrostep is completed and the first
        such exception raised from here. Nothing that waits is lost: the next call goes on.
        """
        if self.busy:
            return 0
        self.busy = True
        try:
            taken = self._drain()
        finally:
            self.busy = False
            self.pending = self.is_dirty or self.external.count + self.internal.count > 0
        if self.failed is not None:
            failed = self.failed
            self.failed = None
            raise failed
        return taken

    def _drain(self) -> int:
        external, internal = self.external, self.internal
        taken = 0
        steps = 0
        while True:
            steps += 1
            if steps > MAX_MICROSTEPS:
                self._give_up()
                return taken
            if self.is_dirty:
                if self.step(self._eventless):
                    continue
                self.is_dirty = False
            if internal.count:
                event = internal.take()
                self.take(event, internal.value, None)
            elif external.count and self.failed is None and taken < MAX_EVENTS:
                event = external.take()
                self.take(event, external.value, self.before_event)
                steps = 0
            else:
                return taken
            taken += 1

    def is_heard(self, event: int) -> bool:
        """Whether any transition hears `event`."""
        return len(self.table.heard[event]) > 0

    def state_id(self, path: str) -> int:
        """The number of the state called "region/state", or of a region's root."""
        return self.table.find(path)

    def restart_region(self, chart: int) -> None:
        """Put one chart back where it started, without actions; its timers too."""
        region_state.restart(self, chart)

    def region_size(self, chart: int) -> int:
        """How many bytes `save_region` writes."""
        return region_state.region_size(self, chart)

    def save_region(self, chart: int, out: bytearray, offset: int = 0) -> int:
        """Write one chart's configuration, history and timers; how many bytes."""
        return region_state.save_region(self, chart, out, offset)

    def load_region(self, chart: int, saved: "bytes | bytearray", offset: int = 0) -> int:
        """Take up what `save_region` wrote, without actions; how many bytes."""
        return region_state.load_region(self, chart, saved, offset)

    def _give_up(self) -> None:
        """The macrostep does not end: drop its internal events and say so, unless an exception goes first.

        The next external event is taken before eventless transitions are looked at again.
        """
        lost = self.internal.clear()
        self.is_dirty = False
        self.livelocks += 1
        self.new_losses += 1
        if self.failed is None and not self.plays_on:
            self.failed = Livelock(
                f"the charts do not rest after {MAX_MICROSTEPS} steps; {lost} internal events dropped"
            )
