"""What falls due: numbers 0 … 254 in the order of their due times, those of one millisecond by number.

Times are ticks of period 2^30 (base.ticks). Only `reserve` allocates, at set-up.
"""

from firmware.base.numbers import zeros
from firmware.base.ticks import HALF, MASK

MOST = 255
NEVER = -1


OFF = 0
RUNNING = 1


class Agenda:
    """The numbers that wait. `first`: when the next one is due, or NEVER; `now` is set by the console."""

    def __init__(self) -> None:
        self.now = 0
        self.first = NEVER
        self.state = bytearray()  # of each number: RUNNING while it waits
        self._due: list[int] = []
        self._order = zeros(0, MOST)  # those that wait, the next one last: most wait for a short time only
        self._waiting = 0

    def reserve(self) -> int:
        """Room for one more number: the number."""
        self.state.append(OFF)
        self._due.append(0)
        self._order.append(0)
        return len(self._order) - 1

    def due(self) -> int:
        """Milliseconds until the next one is due, 0 when it is overdue, −1 when none waits."""
        first = self.first
        if first < 0:
            return -1
        left = (first - self.now) & MASK
        return left if left < HALF else 0

    def pop(self) -> int:
        """Take out and return the next one due by now, in the order (due, number); −1 when none is."""
        first = self.first
        if first < 0 or 0 < (first - self.now) & MASK < HALF:
            return -1
        return self.take()

    def take(self) -> int:
        """Take out and return the next one, whenever it is due; one must wait."""
        order = self._order
        self._waiting = at = self._waiting - 1
        number = order[at]
        self.state[number] = OFF
        self.first = self._due[order[at - 1]] if at else NEVER
        return number

    def insert(self, number: int, delay_ms: int) -> None:
        """`number`, which does not wait yet, is due in `delay_ms`."""
        order, dues, at = self._order, self._due, self._waiting
        dues[number] = due = (self.now - HALF + delay_ms - HALF) & MASK  # the plain sum may be too great
        self.state[number] = RUNNING
        self._waiting = at + 1
        if self.first < 0 or 0 < (self.first - due) & MASK < HALF:
            self.first = due
        else:
            while at:
                other = order[at - 1]
                later = (dues[other] - due) & MASK
                if later < HALF and (later or other > number):
                    break
                order[at] = other
                at -= 1
        order[at] = number

    def remove(self, number: int) -> None:
        """`number`, which waits, waits no longer."""
        order = self._order
        last = self._waiting - 1
        if order[last] == number:
            self.take()
            return
        at = last
        follower = order[at]
        while follower != number:
            at -= 1
            order[at], follower = follower, order[at]
        self.state[number] = OFF
        self._waiting = last
