"""The timers: one fixed table of due times, kept in the order in which they fall due.

Only `add` allocates, and only at set-up. Times are ticks of period 2^30 (base.ticks), so a timer
may run for up to 2^29 ms and the counter may wrap beneath it.
"""

from array import array

from firmware.base import ticks
from firmware.base.agenda import MOST, OFF, RUNNING, Agenda
from firmware.base.errors import GameError

HELD = 2  # a state besides OFF and RUNNING: its group is frozen: `_due` keeps what is left rather than a time

RUNS, STANDS = b"\x01", b"\x02"  # RUNNING and HELD, to be looked for
RECORD = 5  # a saved timer: state, then what is left in ms, little-endian


class Timers(Agenda):
    """Timers, identified by number, in the order of declaration; `now` is set by the console."""

    def __init__(self) -> None:
        super().__init__()
        self.event = array("h")  # posted when it is due, or a negative number
        self._group = bytearray()
        self._frozen = bytearray(8)

    def __len__(self) -> int:
        return len(self.event)

    def add(self, event: int, group: int = 0) -> int:
        """A new timer that posts `event` when it is due; groups 0 … 63 can be frozen as one."""
        if len(self.event) == MOST:
            raise GameError(f"a machine has at most {MOST} switches and timers together")
        if not 0 <= group < 64:
            raise GameError(f"timer group {group}: allowed are 0 to 63")
        self.event.append(event)
        self._group.append(group)
        return self.reserve()

    def start(self, tid: int, delay_ms: int) -> None:
        """Run `tid` from now (again, if it ran); in a frozen group it waits for the thaw."""
        if self.state[tid] == RUNNING:
            self.remove(tid)
        group = self._group[tid]
        if self._frozen[group >> 3] >> (group & 7) & 1:
            self.state[tid] = HELD
            self._due[tid] = delay_ms
        else:
            self.insert(tid, delay_ms)

    def stop(self, tid: int) -> None:
        """Forget what `tid` was waiting for; harmless when it is not running."""
        if self.state[tid] == RUNNING:
            self.remove(tid)
        self.state[tid] = OFF

    def running(self, tid: int) -> bool:
        """Whether `tid` is yet to fall due, frozen or not."""
        return self.state[tid] != OFF

    def left(self, tid: int) -> int:
        """Milliseconds until `tid` is due, 0 when overdue or not running."""
        left = self._left(tid)
        return left if left > 0 else 0

    def frozen(self, group: int) -> bool:
        """Whether the timers of `group` stand still."""
        return bool(self._frozen[group >> 3] & (1 << (group & 7)))

    def freeze(self, group: int) -> None:
        """Stop the clock of every timer in `group`; each keeps what it has left."""
        if self.frozen(group):
            return
        self._frozen[group >> 3] |= 1 << (group & 7)
        tid = self.state.find(RUNS)
        while tid >= 0:
            if self._group[tid] == group:
                left = self.left(tid)
                self.remove(tid)
                self.state[tid] = HELD
                self._due[tid] = left
            tid = self.state.find(RUNS, tid + 1)

    def thaw(self, group: int) -> None:
        """Let the timers of `group` run on with what they had left."""
        if not self.frozen(group):
            return
        self._frozen[group >> 3] &= ~(1 << (group & 7))
        tid = self.state.find(STANDS)
        while tid >= 0:
            if self._group[tid] == group:
                self.insert(tid, self._due[tid])
            tid = self.state.find(STANDS, tid + 1)

    def stop_group(self, group: int) -> None:
        """Stop every timer of `group`; whether the group is frozen stays as it is."""
        for tid in range(len(self.event)):
            if self._group[tid] == group:
                self.stop(tid)

    def size(self) -> int:
        """How many bytes `save` writes."""
        return 8 + RECORD * len(self.event)

    def save(self, out: bytearray, offset: int = 0) -> int:
        """Write every timer into `out`, times relative to now; how many bytes."""
        for i in range(8):
            out[offset + i] = self._frozen[i]
        for tid in range(len(self.event)):
            self.save_one(tid, out, offset + 8 + RECORD * tid)
        return self.size()

    def load(self, saved: "bytes | bytearray", offset: int = 0) -> int:
        """Take up what `save` wrote, counted from the `now` of this table; how many bytes."""
        for tid in range(len(self.event)):
            self.stop(tid)
        for i in range(8):
            self._frozen[i] = saved[offset + i]
        for tid in range(len(self.event)):
            self.load_one(tid, saved, offset + 8 + RECORD * tid)
        return self.size()

    def save_one(self, tid: int, out: bytearray, offset: int) -> None:
        """Write the RECORD bytes of one timer."""
        out[offset] = self.state[tid]
        left = self._left(tid)
        for i in range(1, RECORD):
            out[offset + i] = left & 0xFF
            left >>= 8

    def load_one(self, tid: int, saved: "bytes | bytearray", offset: int) -> None:
        """Take up one timer; it is held or runs as its group is now."""
        self.stop(tid)
        if saved[offset] == OFF:
            return
        left = saved[offset + 4]
        if left > 127:
            left -= 256
        for i in range(3, 0, -1):
            left = (left << 8) | saved[offset + i]
        self.start(tid, left if left > 0 else 0)

    def _left(self, tid: int) -> int:
        state = self.state[tid]
        if state == RUNNING:
            return ticks.diff(self._due[tid], self.now)
        return self._due[tid] if state == HELD else 0
