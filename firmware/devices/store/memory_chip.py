"""A memory chip on I²C: FRAM, which needs no erase and blinds nobody, or EEPROM, which is slower.

The part is given as an object with MicroPython's `writeto_mem` and `readfrom_mem_into`.
"""

from firmware.devices.store.medium import Medium

# Bytes of one transfer: a bus that displays share gives up a transfer after a few milliseconds.
CHUNK = 32
READ = 128


class MemoryChip(Medium):
    """`size` bytes at `address`, halved into two sectors.

    `page`: longest stretch one write may touch, never across its border; 0 for FRAM, which has none. Size
    and page are multiples of CHUNK.
    `wait`: called after each write, with the part's write time (EEPROM, usually 5 ms) to be slept.
    """

    sectors = 2
    checks_erase = False  # 4 KB read over I²C take 0.1 s of one turn

    def __init__(
        self, i2c: "Bus", address: int = 0x50, size: int = 8192, page: int = 0, wait: "Waiting | None" = None
    ) -> None:
        self.sector_size = size // self.sectors
        self._i2c = i2c
        self._address = address
        self._page = page
        self._wait = wait
        self._blank = bytes([0xFF] * CHUNK)

    def read(self, sector: int, offset: int, into: "bytearray | memoryview") -> None:
        """Fill `into` from byte `offset` of a sector. Raises OSError when the chip does not answer."""
        view = memoryview(into)
        place = sector * self.sector_size + offset
        for at in range(0, len(view), READ):
            self._i2c.readfrom_mem_into(self._address, place + at, view[at : at + READ], addrsize=16)

    def program(self, sector: int, offset: int, data: "bytes | bytearray | memoryview") -> None:
        """Write `data`, at most CHUNK bytes at once. Raises OSError if the chip is silent."""
        view = memoryview(data)
        at = 0
        while at < len(view):
            place = sector * self.sector_size + offset + at
            n = min(CHUNK, len(view) - at)
            if self._page:
                n = min(n, self._page - place % self._page)
            self._i2c.writeto_mem(self._address, place, view[at : at + n], addrsize=16)
            if self._wait is not None:
                self._wait()
            at += n

    def erase(self, sector: int) -> None:
        """Write 0xFF over the sector, since the chip has no erase. Raises OSError."""
        begin = sector * self.sector_size
        for place in range(begin, begin + self.sector_size, CHUNK):
            self._i2c.writeto_mem(self._address, place, self._blank, addrsize=16)
            if self._wait is not None:
                self._wait()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Protocol

    Waiting = Callable[[], None]

    class Bus(Protocol):
        """The part of machine.I2C that is used; what begins with `__` is given by place."""

        def readfrom_mem_into(
            self, __addr: int, __memaddr: int, __buf: "bytearray | memoryview", *, addrsize: int
        ) -> None:
            """Fill the buffer from a memory address."""

        def writeto_mem(
            self, __addr: int, __memaddr: int, __buf: "bytes | memoryview", *, addrsize: int
        ) -> None:
            """Write the buffer to a memory address."""
