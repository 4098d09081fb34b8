"""The trace: the one record of what happened when.

A record is 12 bytes, little-endian: ms since start (u32), kind (u16), id (u16), value (i32).
SHA-256 runs over them a block at a time, before the ring overwrites any; `lost` counts what it overwrote
unread. An id is below 2^13, so that a word of a record is a small integer on a 32-bit board too.
"""

from struct import pack_into

from firmware.base.ring import BLOCK, WORDS, Ring

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


class Trace(Ring):
    """A hashed ring of records."""

    def __init__(self, capacity: int = 256) -> None:
        super().__init__(capacity)
        self._taken = 0
        self._lost = 0
        self._digest = b""

    @property
    def count(self) -> int:
        """How many records there were so far."""
        return self._before + self._at // WORDS

    @property
    def lost(self) -> int:
        """How many records were overwritten before they were taken."""
        return self._lost + max(0, self.count - self._taken - self.capacity)

    def held(self) -> int:
        """How many records wait to be taken."""
        held = self.count - self._taken
        return held if held < self.capacity else self.capacity

    def take(self, out: bytearray, offset: int, most: int) -> int:
        """Copy up to `most` of the oldest waiting records into `out` and forget them; how many."""
        ring = self._ring
        held = self.held()
        self._lost = self.lost
        n = held if held < most else most
        at = self._at - held * WORDS
        if at < 0:
            at += len(ring)
        for i in range(n):
            pack_into("<iii", out, offset + i * RECORD, ring[at], ring[at + 1], ring[at + 2])
            at += WORDS
            if at == len(ring):
                at = 0
        self._taken = self.count - held + n
        return n

    def skip(self) -> None:
        """Forget the records that wait."""
        self._lost = self.lost
        self._taken = self.count

    def digest(self) -> bytes:
        """SHA-256 over every record so far.

        Under MicroPython the trace ends here, for its hashes cannot be copied: later calls give the same.
        """
        if self._digest:
            return self._digest
        copied = hasattr(self._sha, "copy")
        sha = self._sha.copy() if copied else self._sha
        sha.update(self._words(self._block * BLOCK, self._at // WORDS))
        digest = sha.digest()
        if not copied:
            self._digest = digest
        return digest
