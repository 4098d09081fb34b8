"""A store for firmware.play.persistence: named integers, on any part that has a `Medium`."""

from firmware.devices.store import record
from firmware.devices.store.key import key_of
from firmware.devices.store.log import Store

FULL = "the store takes no more: the save before stands"


class Kept:
    """What the game called `game` keeps on `medium`."""

    def __init__(self, medium: "Medium", game: str) -> None:
        self.lost: list[str] = []
        self._medium = medium
        self._owner = record.owner_of(game)
        self._store: Store | None = None

    def key(self, name: str) -> int:
        """A number that belongs to the name; the host refuses names that share one."""
        return key_of(name)

    def load(self) -> "dict[int, int]":
        """The last whole save, {} when there is none; `lost` says what could not be had."""
        self._store = Store(self._medium, self._owner)
        loaded = self._store.load()
        self.lost = loaded.lost
        return loaded.values

    def place(self) -> "tuple[int, int, int, int]":
        """Where the next save goes; only after `load` or `resume`."""
        assert self._store
        return self._store.place()

    def resume(self, place: "Sequence[int]") -> None:
        """Instead of `load`: go on where another object left off on the same medium since the last start."""
        self._store = Store(self._medium, self._owner)
        self._store.resume(place)

    def save(self, pairs: "Iterable[tuple[int, int]]") -> None:
        """Keep this instead, and erase ahead. Raises OSError when the part does not take it."""
        store = self._store
        if store is None or not store.save(dict(pairs)):
            raise OSError(FULL)
        store.tidy()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from firmware.devices.store.medium import Medium
