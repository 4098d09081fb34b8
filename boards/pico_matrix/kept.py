"""Where this board keeps settings and values: the memory chip on the displays' pair, else two files.

A save comes with no ball in play and no coil on. Writing flash masks interrupts for as long as a sector
is erased, so the coil enable is dropped on purpose meanwhile, and the guard is not fed.
"""

import time

from boards.pico_matrix import beat
from firmware.devices.store.files import Files
from firmware.devices.store.fram import Memory
from firmware.devices.store.kept import Kept

CHIP = 0x50
PAGE = 32  # of a 64 kbit EEPROM; an FRAM of that size has no pages and takes them too
WRITE_MS = 20  # longest that an EEPROM is busy writing
FILES = "/kept"


class BoardKept(Kept):
    """What `game` keeps on this board."""

    def __init__(self, hardware: "Hardware", game: str) -> None:
        Kept.__init__(self, medium(hardware.shows.i2c), game)
        self._cells = hardware.cells

    def save(self, pairs: "Iterable[tuple[int, int]]") -> None:
        """Keep this instead, coils disabled meanwhile. Raises OSError when the part does not take it."""
        enabled = self._cells[beat.ENABLED]
        self._cells[beat.ENABLED] = 0
        try:
            Kept.save(self, pairs)
        finally:
            self._cells[beat.ENABLED] = enabled


def medium(i2c: "I2C") -> "Memory | Files":
    """The chip when it answers, else files on the board's own flash."""

    def settle() -> None:
        """Wait until the chip answers again: at once with FRAM, after its write time with EEPROM."""
        began = time.ticks_ms()
        while not answers(i2c):
            if time.ticks_diff(time.ticks_ms(), began) > WRITE_MS:
                raise OSError("the memory chip went away")

    return Memory(i2c, CHIP, page=PAGE, wait=settle) if answers(i2c) else Files(FILES)


def answers(i2c: "I2C") -> bool:
    """Whether the chip is there and not busy."""
    try:
        i2c.writeto(CHIP, b"")
    except OSError:
        return False
    return True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

    from machine import I2C

    from boards.pico_matrix.board import Hardware
