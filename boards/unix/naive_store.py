"""How not to keep values: one sector, erased and written anew each time. The control of the trials."""

from firmware.devices.store import record
from firmware.devices.store.log import LOST_ALL, Loaded
from firmware.devices.store.medium import Medium


class NaiveStore:
    """The same record with the same checksum, always in the same place."""

    def __init__(self, medium: Medium, owner: int) -> None:
        self._medium = medium
        self._owner = owner

    def load(self) -> Loaded:
        loaded = Loaded()
        data = bytearray(self._medium.room)
        self._medium.read(0, 0, data)
        head = record.Head(data)
        if head.marked and head.length <= len(data) and record.whole(memoryview(data)[: head.length]):
            loaded.values = record.values(memoryview(data)[: head.length])
        else:
            loaded.say(LOST_ALL)
        return loaded

    def save(self, values: "dict[int, int]") -> bool:
        self._medium.erase(0)
        self._medium.program(0, 0, record.pack(values, self._owner, 1))
        return True

    def tidy(self) -> bool:
        return False
