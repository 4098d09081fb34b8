"""A game's store (see firmware.play.persistence): named integers on any `Medium`."""

from firmware.devices.store import record
from firmware.devices.store.key import key_of
from firmware.devices.store.record_log import RecordLog

FULL = "the store takes no more: the save before stands"


class GameStore:
    """The persistent values of the game called `game` on `medium`."""

    def __init__(self, medium: "Medium", game: str) -> None:
        self.lost: list[str] = []
        self._medium = medium
        self._owner = record.owner_of(game)
        self._store: RecordLog | None = None

    def key(self, name: str) -> int:
        """The 30-bit key of a name; `inlane check` refuses names that share one."""
        return key_of(name)

    def load(self) -> "dict[int, int]":
        """The last intact save, {} when there is none; `lost` has a sentence for each loss."""
        self._store = RecordLog(self._medium, self._owner)
        loaded = self._store.load()
        self.lost = loaded.lost
        return loaded.values

    def position(self) -> "tuple[int, int, int, int]":
        """Where the next save goes; only after `load` or `resume`."""
        assert self._store
        return self._store.position()

    def resume(self, position: "Sequence[int]") -> None:
        """Instead of `load`: continue where another object stopped on this medium since the start."""
        self._store = RecordLog(self._medium, self._owner)
        self._store.resume(position)

    def save(self, pairs: "Iterable[tuple[int, int]]") -> None:
        """Save instead of the last values, then erase ahead. Raises OSError when the medium refuses."""
        store = self._store
        if store is None or not store.save(dict(pairs)):
            raise OSError(FULL)
        store.erase_ahead()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from firmware.devices.store.medium import Medium
