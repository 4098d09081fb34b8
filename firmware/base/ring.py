"""The ring that records are written to, and their hash: what runs for every record.

A board may have it as machine code.
"""

import hashlib
from array import array
from struct import pack_into

WORDS = 3  # of a record: ms, kind and id, value
BLOCK = 16  # records hashed at once: three blocks of SHA-256
BOX_EVENTS = 32
BOX_HEAD = 4  # place of the next record, how many there are, two bytes unused
BOX_SIZE = BOX_HEAD + BOX_EVENTS * WORDS * 4


class Ring:
    """So many of the newest records; SHA-256 runs over all that ever were.

    `box`: memory of BOX_SIZE bytes that gets what is noted as well, the last BOX_EVENTS of it: a board has
    that still when its program has ended (base.crash).
    """

    def __init__(self, capacity: int = 256) -> None:
        self.capacity = capacity
        self.now = 0
        self.box: bytearray | memoryview | None = None
        self._ring = array("i", [0] * (capacity * WORDS))
        self._at = 0  # where the next record goes
        self._before = 0  # how many records came before this round of the ring
        self._blocks = [self._words(at, min(at + BLOCK, capacity)) for at in range(0, capacity, BLOCK)]
        self._block = 0  # being filled
        self._stop = len(self._blocks[0])
        self._sha = hashlib.sha256()

    def add(self, kind: int, ident: int, value: int) -> None:
        """Record `kind` about `ident` at the time in `self.now` (ms since start)."""
        ring = self._ring
        at = self._at
        ring[at] = self.now
        ring[at + 1] = kind | ident << 16
        ring[at + 2] = value
        self._at = at = at + WORDS
        if at == self._stop:
            self._close_block()

    def note(self, kind: int, ident: int, value: int) -> None:
        """`add` for edges and events, which go into the box as well."""
        self.add(kind, ident, value)
        box = self.box
        if box is not None:
            place = box[0]
            pack_into("<iii", box, BOX_HEAD + place * 12, self.now, kind | ident << 16, value)
            box[0] = 0 if place == BOX_EVENTS - 1 else place + 1
            if box[1] < BOX_EVENTS:
                box[1] += 1

    def _words(self, start: int, stop: int) -> memoryview:
        return memoryview(self._ring)[start * WORDS : stop * WORDS]

    def _close_block(self) -> None:
        """The block is full: hash it and go on with the next."""
        self._sha.update(self._blocks[self._block])
        self._block += 1
        if self._block == len(self._blocks):
            self._block = self._at = 0
            self._before += self.capacity
        self._stop = self._at + len(self._blocks[self._block])
