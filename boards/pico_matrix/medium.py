"""The storage medium of this board: the memory chip on the displays' I²C bus, else two files."""

import time

from firmware.devices.store.file_pair import FilePair
from firmware.devices.store.memory_chip import MemoryChip

CHIP = 0x50
PAGE = 32  # of a 64 kbit EEPROM; an FRAM of that size has no pages and takes them too
WRITE_MS = 20  # longest that an EEPROM is busy writing


def open_medium(i2c: "I2C", chip: bool, path: str) -> "MemoryChip | FilePair":
    """The chip, or files on the board's own flash that begin with `path`."""

    def settle() -> None:
        """Wait until the chip answers again: at once with FRAM, after its write time with EEPROM."""
        began = time.ticks_ms()
        while not is_ready(i2c):
            if time.ticks_diff(time.ticks_ms(), began) > WRITE_MS:
                raise OSError("the memory chip went away")

    return MemoryChip(i2c, CHIP, page=PAGE, wait=settle) if chip else FilePair(path)


def is_ready(i2c: "I2C") -> bool:
    """Whether the chip is there and not busy."""
    try:
        i2c.writeto(CHIP, b"")
    except OSError:
        return False
    return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from machine import I2C
