"""The persistent store of this board: the memory chip on the displays' pair, else two files.

A save comes with no ball in play and no coil on. Writing flash masks interrupts for as long as a sector
is erased, so the coil enable is dropped on purpose meanwhile, and the guard is not fed.
"""

from array import array

from boards.pico_matrix import isr
from boards.pico_matrix.medium import is_ready, open_medium
from firmware.devices.store.game_store import GameStore
from firmware.devices.store.key import key_of

FILES = "/kept"


class BoardStore:
    """The store of `game` on this board (see firmware.play.persistence).

    It is read when this is made.
    """

    def __init__(self, hardware: "Hardware", game: str) -> None:
        self.lost: list[str] = []
        self._cells = hardware.cells
        self._i2c = hardware.slow_outputs.i2c
        self._game = game
        self._position = array("i", [0] * 4)  # reused: a new one would lie in the heap's last large gap
        self._found: dict[int, int] = {}
        self._read()

    def key(self, name: str) -> int:
        """The 30-bit key of a name."""
        return key_of(name)

    def load(self) -> "dict[int, int]":
        """The last intact save, {} when there is none; `lost` has a sentence for each loss. Call once."""
        found = self._found
        self._found = {}
        return found

    def _read(self) -> None:
        self._chip = is_ready(self._i2c)
        store = self._open()
        self._found = store.load()
        self.lost = store.lost
        self._record_position(store)

    def save(self, pairs: "Iterable[tuple[int, int]]") -> None:
        """Save, with coils disabled meanwhile. Raises OSError when the medium does not take it."""
        enabled = self._cells[isr.ENABLED]
        self._cells[isr.ENABLED] = 0
        try:
            store = self._open()
            store.resume(self._position)
            try:
                store.save(pairs)
            finally:
                self._record_position(store)
        finally:
            self._cells[isr.ENABLED] = enabled

    def _record_position(self, store: "GameStore") -> None:
        position = store.position()
        for i in range(4):
            self._position[i] = position[i]

    def _open(self) -> "GameStore":
        return GameStore(open_medium(self._i2c, self._chip, FILES), self._game)


def print_all(game: str) -> None:
    """Every number that the board has stored for `game`, as lines of key and number: `inlane deploy` asks."""
    import machine

    from boards.pico_matrix import pins

    i2c = machine.I2C(0, sda=machine.Pin(pins.DISPLAY_DATA), scl=machine.Pin(pins.DISPLAY_CLOCK))
    store = GameStore(open_medium(i2c, is_ready(i2c), FILES), game)
    for key, number in store.load().items():
        print(key, number)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

    from boards.pico_matrix.board import Hardware
