"""Two files that only grow: a store on a board's own file system, for want of a better part.

Nothing is written into littlefs by hand: it keeps its own promises, and a file that was not yet
synchronised is as it was before. Flash is written all the same, and blinds the board meanwhile.
"""

import os

from firmware.devices.store.medium import Medium

SIZE = 6  # of a file, in what os.stat gives


class FilePair(Medium):
    """`path` + ".a" and ".b"; `most` is the size at which the other file takes over."""

    sectors = 2

    def __init__(self, path: str, most: int = 4096) -> None:
        self.sector_size = most
        self._names = (path + ".a", path + ".b")

    def read(self, sector: int, offset: int, into: "bytearray | memoryview") -> None:
        """Fill `into` from byte `offset`; what the file does not have reads 0xFF."""
        view = memoryview(into)
        for i in range(len(view)):
            view[i] = 0xFF
        if not self._length(sector):
            return
        with open(self._names[sector], "rb") as file:
            file.seek(offset)
            data = file.read(len(view))
        view[: len(data)] = data

    def program(self, sector: int, offset: int, data: "bytes | bytearray | memoryview") -> None:
        """Append `data`, synchronised. Raises OSError unless `offset` is the end of the file."""
        if offset != self._length(sector):
            raise OSError("a store's file only grows at its end")
        with open(self._names[sector], "ab") as file:
            file.write(data)
            file.flush()
        _sync()

    def erase(self, sector: int) -> None:
        """Empty the file."""
        with open(self._names[sector], "wb"):
            pass
        _sync()

    def _length(self, sector: int) -> int:
        """Bytes in the file; none when it is not there yet."""
        try:
            return int(os.stat(self._names[sector])[SIZE])
        except OSError:
            return 0


def _sync() -> None:
    if hasattr(os, "sync"):
        os.sync()
