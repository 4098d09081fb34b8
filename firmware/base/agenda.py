"""What falls due: numbers 0 … 254 in the order of their due times, those of one millisecond by number.

Times are ticks of period 2^30 (base.ticks). Only `reserve` allocates, at set-up.
"""

from firmware.base.ticks import HALF, MASK

MOST = 255
NEVER = -1


OFF = 0
RUNNING = 1


class Agenda:
    """The numbers that wait. `first`: when the next one is due, NEVER when none waits."""

    def __init__(self) -> None:
        self.first = NEVER
        self.state = bytearray()  # of each number: RUNNING while it waits
        self._due: list[int] = []
        self._order = bytearray()  # those that wait, the next one first
        self._waiting = 0

    def reserve(self) -> int:
        """Room for one more number: the number."""
        self.state.append(OFF)
        self._due.append(0)
        self._order.append(0)
        return len(self._order) - 1

    def wait(self, now: int) -> int:
        """Milliseconds from `now` until the next one is due, 0 when it is overdue, −1 when none waits."""
        if self.first < 0:
            return -1
        left = (self.first - now) & MASK
        return left if left < HALF else 0

    def next(self, now: int) -> int:
        """Take out the next one due by `now`; −1 when none is."""
        if self.first < 0 or 0 < (self.first - now) & MASK < HALF:
            return -1
        number = self._order[0]
        self.remove(number)
        return number

    def insert(self, number: int, due: int) -> None:
        """`number`, which does not wait yet, is due at `due`."""
        order, dues = self._order, self._due
        dues[number] = due
        self.state[number] = RUNNING
        at = self._waiting
        self._waiting = at + 1
        while at:
            other = order[at - 1]
            ahead = (due - dues[other]) & MASK
            if ahead < HALF and (ahead or number > other):
                break
            order[at] = other
            at -= 1
        order[at] = number
        if not at:
            self.first = due

    def remove(self, number: int) -> None:
        """`number`, which waits, waits no longer."""
        order = self._order
        at = 0
        while order[at] != number:
            at += 1
        self.state[number] = OFF
        self._waiting -= 1
        if not at:
            self.first = self._due[order[1]] if self._waiting else NEVER
        while at < self._waiting:
            order[at] = order[at + 1]
            at += 1
