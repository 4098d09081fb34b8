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

    `note` adds an edge or an event, which memory given to `note_in` gets as well.
    """

    def __init__(self, capacity: int = 256) -> None:
        self.capacity = capacity
        self.now = 0
        self.note: Callable[[int, int, int], None] = self.add  # for edges and events, which the box gets too
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
        self._at = at = at + 3
        if at == self._stop:
            self._close_block()

    def note_in(self, box: "bytearray | memoryview | None") -> None:
        """What is noted goes into `box` as well, BOX_SIZE bytes, the last BOX_EVENTS of it; None: nowhere.

        A board has that memory still when its program has ended (base.crash).
        """
        self.box = box
        self.note = self.add if box is None else self._add_to_box

    def _add_to_box(self, kind: int, ident: int, value: int) -> None:
        self.add(kind, ident, value)
        box = self.box
        assert box is not None
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


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
