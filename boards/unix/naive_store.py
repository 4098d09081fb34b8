"""A store that loses data: one sector, erased and rewritten at each save. The control of the trials."""

from firmware.devices.store import record
from firmware.devices.store.medium import Medium
from firmware.devices.store.record_log import LOST_ALL, LoadResult


class NaiveStore:
    """The same record with the same checksum, always in the same place."""

    def __init__(self, medium: Medium, owner: int) -> None:
        self._medium = medium
        self._owner = owner

    def load(self) -> LoadResult:
        """The values of the one record; a loss is reported when it is damaged."""
        loaded = LoadResult()
        data = bytearray(self._medium.sector_size)
        self._medium.read(0, 0, data)
        head = record.Head(data)
        if head.has_mark and head.length <= len(data) and record.is_intact(memoryview(data)[: head.length]):
            loaded.values = record.values(memoryview(data)[: head.length])
        else:
            loaded.add_loss(LOST_ALL)
        return loaded

    def save(self, values: "dict[int, int]") -> bool:
        """Erase, then write: a power cut between the two loses everything."""
        self._medium.erase(0)
        self._medium.program(0, 0, record.pack(values, self._owner, 1))
        return True

    def erase_ahead(self) -> bool:
        """There is nothing to erase in advance."""
        return False
