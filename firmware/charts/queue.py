"""A ring of events that wait: their numbers and arguments."""

from array import array

from firmware.base.errors import ChartError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.charts.configuration import Configuration

ROOM = 32  # events that can wait, unless the engine is made with more or less


class Queue:
    """First in, first out; what finds no room is counted in `dropped`."""

    def __init__(self, limit: int, engine: "Configuration", room: int) -> None:
        """`limit` is the number of events there are; the `engine` is notified when something waits."""
        self.limit = limit
        self.engine = engine
        self.count = 0
        self.dropped = 0
        self.value = 0
        self._head = 0
        self.events = array("H", [0] * room)
        self._values = array("i", [0] * room)

    def put(self, event: int, value: int = 0) -> None:
        """Let `event` wait its turn."""
        if not 0 <= event < self.limit:
            raise ChartError(f"event {event}: there are {self.limit}")
        self.engine.pending = True
        count = self.count
        events = self.events
        if count == len(events):
            self.dropped += 1
            self.engine.new_losses += 1
            return
        at = (self._head + count) % len(events)
        events[at] = event
        self._values[at] = value
        self.count = count + 1

    def take(self) -> int:
        """The event that waited longest; its argument is then in `value`."""
        at = self._head
        events = self.events
        self._head = (at + 1) % len(events)
        self.count -= 1
        self.value = self._values[at]
        return events[at]

    def clear(self) -> int:
        """Drop all that waits and count it; how many."""
        lost = self.count
        self.dropped += lost
        self.count = 0
        return lost
