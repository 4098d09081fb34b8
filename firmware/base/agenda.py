"""What falls due: numbers 0 … 254 in the order of their due times, those of one millisecond by number.

Times are ticks of period 2^30 (base.ticks). Only `reserve` allocates, at set-up.
"""

from firmware.base.ticks import HALF, MASK

MOST = 255


class Agenda:
    """The numbers that wait; `waiting` is how many."""

    def __init__(self) -> None:
        self.waiting = 0
        self._due: list[int] = []
        self._order = bytearray()  # those that wait, the next one first

    def reserve(self) -> int:
        """Room for one more number: the number."""
        self._due.append(0)
        self._order.append(0)
        return len(self._order) - 1

    def wait(self, now: int) -> int:
        """Milliseconds from `now` until the next one is due, 0 when it is overdue, −1 when none waits."""
        if not self.waiting:
            return -1
        left = (self._due[self._order[0]] - now) & MASK
        return left if left < HALF else 0

    def next(self, now: int) -> int:
        """Take out the next one due by `now`; −1 when none is."""
        if not self.waiting:
            return -1
        order = self._order
        number = order[0]
        left = (self._due[number] - now) & MASK
        if 0 < left < HALF:
            return -1
        self.waiting -= 1
        for at in range(self.waiting):
            order[at] = order[at + 1]
        return number

    def insert(self, number: int, due: int) -> None:
        """`number`, which does not wait yet, is due at `due`."""
        order = self._order
        dues = self._due
        dues[number] = due
        at = self.waiting
        self.waiting = at + 1
        while at:
            other = order[at - 1]
            ahead = (due - dues[other]) & MASK
            if ahead < HALF and (ahead or number > other):
                break
            order[at] = other
            at -= 1
        order[at] = number

    def remove(self, number: int) -> None:
        """`number`, which waits, waits no longer."""
        order = self._order
        at = 0
        while order[at] != number:
            at += 1
        self.waiting -= 1
        while at < self.waiting:
            order[at] = order[at + 1]
            at += 1
