"""Where this board keeps settings and values: the memory chip on the displays' pair, else two files.

A save comes with no ball in play and no coil on. Writing flash masks interrupts for as long as a sector
is erased, so the coil enable is dropped on purpose meanwhile, and the guard is not fed.
"""

from array import array

from boards.pico_matrix import isr
from boards.pico_matrix.medium import answers, medium
from firmware.devices.store.kept import Kept
from firmware.devices.store.key import key_of

FILES = "/kept"


class BoardKept:
    """What `game` keeps on this board; a store as play.persistence wants it.

    It is read when this is made.
    """

    def __init__(self, hardware: "Hardware", game: str) -> None:
        self.lost: list[str] = []
        self._cells = hardware.cells
        self._i2c = hardware.shows.i2c
        self._game = game
        self._place = array("i", [0] * 4)  # written over: a new object would lie in the heap's last large gap
        self._read()

    def key(self, name: str) -> int:
        """A number that belongs to the name."""
        return key_of(name)

    def load(self) -> "dict[int, int]":
        """The last whole save, {} when there is none; `lost` says what could not be had. Call once."""
        found = self._found
        self._found = {}
        return found

    def _read(self) -> None:
        self._chip = answers(self._i2c)
        kept = self._open()
        self._found = kept.load()
        self.lost = kept.lost
        self._note(kept)

    def save(self, pairs: "Iterable[tuple[int, int]]") -> None:
        """Keep this instead, coils disabled meanwhile. Raises OSError when the part does not take it."""
        enabled = self._cells[isr.ENABLED]
        self._cells[isr.ENABLED] = 0
        try:
            kept = self._open()
            kept.resume(self._place)
            try:
                kept.save(pairs)
            finally:
                self._note(kept)
        finally:
            self._cells[isr.ENABLED] = enabled

    def _note(self, kept: "Kept") -> None:
        place = kept.place()
        for i in range(4):
            self._place[i] = place[i]

    def _open(self) -> "Kept":
        return Kept(medium(self._i2c, self._chip, FILES), self._game)


def print_all(game: str) -> None:
    """Every number that the board has stored for `game`, as lines of key and number: `inlane deploy` asks."""
    import machine

    from boards.pico_matrix import pins

    i2c = machine.I2C(0, sda=machine.Pin(pins.DISPLAY_DATA), scl=machine.Pin(pins.DISPLAY_CLOCK))
    store = Kept(medium(i2c, answers(i2c), FILES), game)
    for key, number in store.load().items():
        print(key, number)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

    from boards.pico_matrix.board import Hardware
