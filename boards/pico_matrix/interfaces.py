"""What the chip's stubs lack. For type checkers: no board imports it at run time, no image holds it."""

from array import array
from typing import Any, Protocol, TypeAlias

from firmware.console import Console
from firmware.link.device import Device

# Any: viper takes a buffer, or an address, for a pointer; to the stubs nothing but a pointer is one.
Pointed: TypeAlias = Any
# Any: a list to MicroPython, which `circuits.assembled` changes; the stubs give it a class without contents.
Program: TypeAlias = Any
Cells: TypeAlias = "array[int]"


class DmaChannel(Protocol):
    """rp2.DMA as it is: the stubs do not know the number of its channel."""

    channel: int

    def pack_ctrl(self, **fields: int) -> int:
        """A control word; what is not given is as usual for this channel."""
        ...

    def config(self, *, read: int, write: int, count: int, ctrl: int, trigger: bool) -> None:
        """Set the addresses, the number of transfers and the control word; `trigger`: start."""

    def active(self, on: int) -> object:
        """Start or stop it."""


class FlashPartition(Protocol):
    """What vfs.rom_ioctl(2, 0) gives: flash in blocks, which can be read as memory."""

    def __buffer__(self, __flags: int) -> memoryview:
        """The flash."""
        ...

    def writeblocks(self, block: int, data: "bytes | bytearray | memoryview") -> None:
        """Erase the blocks that `data` fills, and write it."""


class Loop(Protocol):
    """main.MainLoop, as what ends it sees it."""

    device: Device

    def console(self) -> "Console | None":
        """The console of the run, None between runs."""
        ...
