"""A log of records in rotating sectors; each record has all kept values, and the newest intact one counts.

A power cut can leave bits that read one way now and the other way later. So a sector is written to only if
it was erased since this start, however blank it reads, and the first save after a start goes to another
sector. The sector in use is never erased. Where erasing is slow, `erase_ahead` erases the next one in
advance; the console calls it when no ball is in play.
"""

from firmware.base.errors import GameError
from firmware.devices.store import record

BLANK = 0xFF
LOST_CUT = "a part of the store was cut off or damaged; the last good save is used"
LOST_ALL = "nothing readable was kept; every value is at its start"
LOST_OWNER = "what is kept belongs to another game and is left out"
LOST_VERSION = "what is kept was written by another version and is left out"
LOST_READ = "a part of the store could not be read"

_CHUNK = 64
_BLANKS = bytes([BLANK] * _CHUNK)

# What a sector held: whole records, damage before the last of them, something unreadable at its end.
_RECORDS = 1
_DAMAGED = 2
_TAIL = 4


class LoadResult:
    """`values` by key; `lost`: a sentence for each loss, [] for none; `found`: a record was read."""

    def __init__(self) -> None:
        self.values: dict[int, int] = {}
        self.lost: list[str] = []
        self.sequence = 0
        self.found = False

    def add_loss(self, words: str) -> None:
        """Add a sentence, once."""
        if words not in self.lost:
            self.lost.append(words)


class RecordLog:
    """One set of small integers by key on `medium`; `owner` identifies the game (record.owner_of).

    `sequence` is the last save's number; `sector` has the last record, and the next one begins there at byte
    `end`; `erased` is a sector that was erased since the start and not yet written to, or −1. `erased_late`
    counts saves that had to erase first.
    """

    def __init__(self, medium: "Medium", owner: int) -> None:
        least = 3 if medium.slow_erase else 2
        if medium.sectors < least:
            raise GameError(f"a store on this medium needs {least} sectors; it was given {medium.sectors}")
        self.erased_late = 0
        self._medium = medium
        self._owner = owner
        self._buffer = bytearray(medium.sector_size)
        self.erased = -1
        self.sequence = 0
        self.sector = -1
        self.end = medium.sector_size

    def load(self) -> LoadResult:
        """The last intact values, and what was lost. Call once, before the first `save`."""
        loaded = LoadResult()
        marks = bytearray(self._medium.sectors)
        for sector in range(self._medium.sectors):
            marks[sector] = self._scan(sector, loaded)
        if loaded.found:
            following = marks[self._next(self.sector)]
            if marks[self.sector] & _TAIL or following & (_DAMAGED | _TAIL):
                loaded.add_loss(LOST_CUT)
        elif any(marks):
            loaded.add_loss(LOST_ALL)
        self.end = self._medium.sector_size
        self.sequence += 1  # a record cut off behind the last one may read well the next time: outnumber it
        return loaded

    def position(self) -> "tuple[int, int, int, int]":
        """(erased, sequence, sector, end): where another log can continue, see `resume`."""
        return self.erased, self.sequence, self.sector, self.end

    def resume(self, position: "Sequence[int]") -> None:
        """Instead of `load`: continue at another log's `position`, without a power cut since."""
        self.erased, self.sequence, self.sector, self.end = position

    def save(self, values: "dict[int, int]") -> bool:
        """Append a record with `values`, which replace all earlier ones; False when no sector takes it.

        Only with no ball in play and no coil on. Raises GameError when they can never fit.
        """
        self.sequence += 1  # also when it fails: no two records ever share a number
        data = record.pack(values, self._owner, self.sequence)
        if len(data) > self._medium.sector_size:
            raise GameError(f"{len(values)} kept values need {len(data)} bytes; a sector has fewer")
        at = self.end
        if at + len(data) <= self._medium.sector_size:
            self.end = self._medium.sector_size
            if self._write(self.sector, at, data):
                self.end = at + len(data)
                return True
        return self._write_next_sector(data)

    def erase_ahead(self) -> bool:
        """Erase the next sector if that is needed, which may take 0.4 s; whether it was erased."""
        if not self._medium.slow_erase:
            return False
        sector = self._next(self.sector)
        return sector != self.erased and self._erase(sector)

    def _write_next_sector(self, data: bytearray) -> bool:
        """Go on in the next sector that works."""
        sector = self.sector
        for _ in range(self._medium.sectors - 1):
            sector = self._next(sector)
            if sector != self.erased:
                self.erased_late += 1
                if not self._erase(sector):
                    continue
            self.erased = -1
            if self._write(sector, 0, data):
                self.sector = sector
                self.end = len(data)
                return True
        return False

    def _next(self, sector: int) -> int:
        return (sector + 1) % self._medium.sectors

    def _erase(self, sector: int) -> bool:
        try:
            self._medium.erase(sector)
            if self._medium.checks_erase:
                self._medium.read(sector, 0, self._buffer)
        except OSError:
            return False
        if self._medium.checks_erase and _blank_from(self._buffer):
            return False
        self.erased = sector
        return True

    def _write(self, sector: int, offset: int, data: "bytes | bytearray") -> bool:
        """Program `data` and read it back; whether it reads the same."""
        try:
            self._medium.program(sector, offset, data)
            seen = memoryview(self._buffer)[: len(data)]
            self._medium.read(sector, offset, seen)
        except OSError:
            return False
        return bytes(seen) == bytes(data)

    def _scan(self, sector: int, loaded: LoadResult) -> int:
        """Load the sector's newest record if it is the newest of all; returns marks, see _RECORDS."""
        try:
            self._medium.read(sector, 0, self._buffer)
        except OSError:
            loaded.add_loss(LOST_READ)
            return _DAMAGED
        if not any(self._buffer):  # a new memory chip may read zero throughout
            return 0
        seen = 0
        at = 0
        stop = _blank_from(self._buffer)
        view = memoryview(self._buffer)
        while at < stop:
            end = _record_end(view, at)
            if end:
                self._take(view[at:end], sector, loaded)
                seen = (seen | _RECORDS | _DAMAGED if seen & _TAIL else seen | _RECORDS) & ~_TAIL
                at = end
            else:
                seen |= _TAIL
                at += 1
        return seen

    def _take(self, data: memoryview, sector: int, loaded: LoadResult) -> None:
        head = record.Head(data)
        if head.sequence > self.sequence:
            self.sequence = head.sequence
            self.sector = sector
        if head.owner != self._owner:
            loaded.add_loss(LOST_OWNER)
        elif head.version != record.VERSION:
            loaded.add_loss(LOST_VERSION)
        elif head.sequence > loaded.sequence:
            loaded.sequence = head.sequence
            loaded.values = record.values(data)
            loaded.found = True


def _record_end(view: memoryview, at: int) -> int:
    """Where the whole record that starts here ends; 0 when there is none."""
    if view[at] != record.MARK & 0xFF or at + record.size(0) > len(view):
        return 0
    head = record.Head(view[at : at + record.HEAD])
    end = at + head.length
    if not head.has_mark or end > len(view) or not record.is_intact(view[at:end]):
        return 0
    return end


def _blank_from(data: bytearray) -> int:
    """Where the erased bytes at the end begin; 0 when all are."""
    at = len(data)
    while at >= _CHUNK and data[at - _CHUNK : at] == _BLANKS:
        at -= _CHUNK
    while at and data[at - 1] == BLANK:
        at -= 1
    return at


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from firmware.devices.store.medium import Medium
