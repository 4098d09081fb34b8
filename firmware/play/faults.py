"""The fault log: what went wrong and when, bounded; it survives power loss.

    play.faults.report("eject_failed", 3)

A name's first word says what `detail` is: `switch_…` and `coin_…` a switch number, `coil_…` a coil
number, anything else a plain number.
"""

from array import array

from firmware.base.trace import Trace

CAPACITY = 16
MOST = (1 << 30) - 1  # times that are counted


class Faults:
    """At most CAPACITY entries, the oldest first; `lost` counts those that were dropped for newer ones.

    `date` is the day as a number like 20260131, 0 while it is not known; `start` counts power-ons.
    Seconds are those since power-on. The same fault again is counted, not listed again.
    """

    def __init__(self, trace: Trace) -> None:
        self.count = 0
        self.lost = 0
        self.date = 0
        self.start = 0
        self.changed = False
        self._trace = trace
        self._name = [""] * CAPACITY
        self._detail = array("i", [0] * CAPACITY)
        self._times = array("i", [0] * CAPACITY)
        self._date = array("i", [0] * CAPACITY)
        self._start = array("i", [0] * CAPACITY)
        self._second = array("i", [0] * CAPACITY)
        self._seen = bytearray(CAPACITY)
        self._since = array("i", [0] * CAPACITY)  # times since the last save

    def report(self, name: str, detail: int = 0, times: int = 1) -> None:
        """Record a fault that happened `times` times. May be called at any time; allocates nothing."""
        for at in range(self.count):
            if self._detail[at] == detail and not self._seen[at] and self._name[at] == name:
                self._times[at] = min(self._times[at] + times, MOST)
                self._since[at] = min(self._since[at] + times, MOST)
                self._stamp(at)
                return
        at = self._room()
        self._name[at] = name
        self._detail[at] = detail
        self._times[at] = self._since[at] = times
        self._seen[at] = 0
        self._stamp(at)

    def acknowledge(self) -> None:
        """Everything listed so far has been read."""
        for at in range(self.count):
            self._seen[at] = 1
        self.changed = True

    def mark_saved(self) -> None:
        """Every entry was saved."""
        for at in range(CAPACITY):
            self._since[at] = 0

    def unsaved(self) -> "list[tuple[str, int, int]]":
        """Name, detail and times of what the store does not have yet, the oldest first."""
        return [
            (self._name[at], self._detail[at], self._since[at]) for at in range(self.count) if self._since[at]
        ]

    def clear(self) -> None:
        """Remove every entry."""
        self.count = 0
        self.lost = 0
        self.changed = True

    @property
    def names(self) -> "list[str]":
        """What is not acknowledged yet, the oldest first."""
        return [self._name[at] for at in range(self.count) if not self._seen[at]]

    def unacknowledged(self) -> int:
        """How many entries are not acknowledged yet."""
        n = 0
        for at in range(self.count):
            n += 1 - self._seen[at]
        return n

    # Entries, for pages and the store ---------------------------------------------------------

    def name(self, at: int) -> str:
        """Name of the entry `at` (0 is the oldest)."""
        return self._name[at]

    def numbers(self, at: int) -> "tuple[int, int, int, int, int, int]":
        """Detail, times, date, power-on number, second, seen of the entry `at`."""
        return (
            self._detail[at],
            self._times[at],
            self._date[at],
            self._start[at],
            self._second[at],
            self._seen[at],
        )

    def restore(self, name: str, numbers: "tuple[int, int, int, int, int, int]") -> None:
        """Add an entry from the store; `numbers` as the method `numbers` returned them."""
        at = self._room()
        self._name[at] = name
        (
            self._detail[at],
            self._times[at],
            self._date[at],
            self._start[at],
            self._second[at],
            self._seen[at],
        ) = numbers
        self._since[at] = 0

    def _stamp(self, at: int) -> None:
        self._date[at] = self.date
        self._start[at] = self.start
        self._second[at] = self._trace.now // 1000
        self.changed = True

    def _room(self) -> int:
        """A place at the end; the oldest entry goes when there is none."""
        if self.count < CAPACITY:
            self.count += 1
            return self.count - 1
        self.lost += 1
        for at in range(CAPACITY - 1):
            self._name[at] = self._name[at + 1]
            self._detail[at] = self._detail[at + 1]
            self._times[at] = self._times[at + 1]
            self._date[at] = self._date[at + 1]
            self._start[at] = self._start[at + 1]
            self._second[at] = self._second[at + 1]
            self._seen[at] = self._seen[at + 1]
            self._since[at] = self._since[at + 1]
        return CAPACITY - 1
