"""Raw flash sectors behind MicroPython's block device interface, such as a part of rp2.Flash.

On a stock image all of that device is the file system: take these sectors only on an image that
leaves them out of it; otherwise use `FilePair`.
"""

from firmware.devices.store.medium import Medium

ERASE = 6  # ioctl of the extended block interface


class FlashBlocks(Medium):
    """`sectors` blocks of `device` from block `first`; every program is made of whole pages.

    A page is programmed again with 0xFF where nothing changes, which leaves those bits alone.
    """

    slow_erase = True

    def __init__(
        self, device: "Device", first: int, sectors: int = 4, sector_size: int = 4096, page: int = 256
    ) -> None:
        self.sectors = sectors
        self.sector_size = sector_size
        self._device = device
        self._first = first
        self._page = bytearray(page)

    def read(self, sector: int, offset: int, into: "bytearray | memoryview") -> None:
        """Fill `into` from byte `offset` of a sector. Raises OSError of the device."""
        self._device.readblocks(self._first + sector, into, offset)

    def program(self, sector: int, offset: int, data: "bytes | bytearray | memoryview") -> None:
        """Program `data`, page by page. Raises OSError of the device."""
        size = len(self._page)
        view = memoryview(data)
        at = 0
        while at < len(view):
            place = offset + at
            inside = place % size
            n = min(len(view) - at, size - inside)
            for i in range(size):
                self._page[i] = 0xFF
            self._page[inside : inside + n] = view[at : at + n]
            self._device.writeblocks(self._first + sector, self._page, place - inside)
            at += n

    def erase(self, sector: int) -> None:
        """Erase one block. Raises OSError of the device."""
        self._device.ioctl(ERASE, self._first + sector)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    class Device(Protocol):
        """The extended interface of a block device."""

        def readblocks(self, block: int, buf: "bytearray | memoryview", offset: int) -> object:
            """Fill `buf` from an offset of a block."""

        def writeblocks(self, block: int, buf: "bytearray | memoryview", offset: int) -> object:
            """Program `buf` at an offset of a block."""

        def ioctl(self, op: int, arg: int) -> object:
            """Operation 6 erases a block."""
