"""The trace: the one record of what happened when.

A record is 12 bytes, little-endian: ms since start (u32), kind (u16), id (u16), value (i32).
`Trace.add` hashes the record (SHA-256) before it enters the ring, so an overwritten record is
still in the hash; `lost` counts what the ring overwrote unread.
"""

import hashlib
import struct

RECORD = 12
FORMAT = "<IHHi"

EDGE = 1  # debounced edge: id switch, value 1 closed, 0 open
EVENT = 2  # posted event: id event, value its argument
MOVE = 3  # transition taken: id row, value the state its region rests in afterwards
AWARD = 4  # ledger line: id award, value points paid
BASE = 5  # stands before an AWARD whose factor is not one: id award, value points before the factor
LAMP = 6  # resolved lamp: id lamp, value pattern
COIL = 7  # coil command: id coil, value pulse in ms, 0 off, -1 held on
REFUSED = 8  # coil refused: id coil, value reason
TEXT = 9  # display: id line * 8 + chunk, value three cells of nine bits
CUE = 10  # cue: id cue
SAVE = 11  # save wanted: id kept value, value its new value

KIND_NAMES = ("", "edge", "event", "move", "award", "base", "lamp", "coil", "refused", "text", "cue", "save")


class Trace:
    """A hashed ring of records."""

    def __init__(self, capacity: int = 256) -> None:
        self.capacity = capacity
        self.count = 0
        self.lost = 0
        self.now = 0
        self._ring = bytearray(capacity * RECORD)
        self._record = bytearray(RECORD)
        self._head = 0
        self._held = 0
        self._sha = hashlib.sha256()

    def add(self, kind: int, ident: int, value: int) -> None:
        """Record `kind` about `ident` at the time in `self.now` (ms since start)."""
        at = self._head
        struct.pack_into(FORMAT, self._record, 0, self.now, kind, ident, value)
        self._sha.update(self._record)
        # Packed twice: copying a slice would allocate.
        struct.pack_into(FORMAT, self._ring, at * RECORD, self.now, kind, ident, value)
        at += 1
        self._head = 0 if at == self.capacity else at
        self.count += 1
        if self._held == self.capacity:
            self.lost += 1
        else:
            self._held += 1

    def held(self) -> int:
        """How many records wait to be taken."""
        return self._held

    def take(self, out: bytearray, offset: int, most: int) -> int:
        """Copy up to `most` of the oldest waiting records into `out` and forget them; how many."""
        n = self._held if self._held < most else most
        at = self._head - self._held
        if at < 0:
            at += self.capacity
        for i in range(n):
            start = offset + i * RECORD
            for j in range(RECORD):
                out[start + j] = self._ring[at * RECORD + j]
            at += 1
            if at == self.capacity:
                at = 0
        self._held -= n
        return n

    def digest(self) -> bytes:
        """SHA-256 over every record so far. The trace ends here: MicroPython's hash cannot go on."""
        return self._sha.digest()
