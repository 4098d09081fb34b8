"""What a game keeps through power loss fits a board's store, and no two names share a key there."""

from collections.abc import Iterator
from typing import Any

from firmware.devices.store import record
from firmware.devices.store.medium import Medium
from firmware.play.keeper import Keeper
from hil.checks.build import Built
from hil.checks.source import Finding


class _Counting:
    """A store that keeps nothing; it counts the names it is asked about."""

    def __init__(self) -> None:
        self.lost: list[str] = []
        self.asked = 0

    def key(self, name: str) -> int:
        self.asked += 1
        return record.key_of(name)

    def load(self) -> dict[int, int]:
        return {}

    def save(self, pairs: Any) -> None:
        """Nothing is kept."""


def kept_values(built: Built) -> Iterator[Finding]:
    """Raises GameError, from the keeper, for two names with one key."""
    store = _Counting()
    Keeper(built.console.play, store)
    needed = record.size(store.asked)
    if needed > Medium.room:
        yield Finding(
            f"{store.asked} kept values and faults need {needed:,} bytes at most; a board's store has"
            f" {Medium.room:,} for a save",
            built.source.shown,
        )
