"""What a game keeps through power loss fits a board's store, and no two names share a key there."""

from collections.abc import Iterable, Iterator

from firmware.console import Console
from firmware.devices.store import record
from firmware.devices.store.key import key_of
from firmware.devices.store.medium import Medium
from firmware.play.faults import CAPACITY
from firmware.play.interfaces import Key
from firmware.play.persistence import FIELDS, WORDS, Persistence
from hil.checks.build import Built
from hil.checks.source import Finding


class _Names:
    """A store that keeps nothing but the names it is asked about."""

    def __init__(self) -> None:
        self.lost: list[str] = []
        self.asked: list[str] = []

    def key(self, name: str) -> str:
        self.asked.append(name)
        return name

    def load(self) -> dict[str, int]:
        return {}

    def save(self, pairs: Iterable[tuple[Key, int]]) -> None:
        """Nothing is kept."""


def kept_values(built: Built) -> Iterator[Finding]:
    """What `refusals` says, as findings."""
    for sentence in refusals(built.console):
        yield Finding(sentence, built.source.shown)


def refusals(console: Console) -> list[str]:
    """One sentence for each two names with one key, and one if a save has no room for all."""
    store = _Names()
    Persistence(console.play, store)
    store.asked += [f"fault.{at}.{field}" for at in range(CAPACITY) for field in (*WORDS, *FIELDS)]
    called: dict[int, str] = {}
    found = []
    for name in store.asked:
        other = called.setdefault(key_of(name), name)
        if other != name:
            found.append(f"kept values '{other}' and '{name}' have the same key; rename one of them")
    needed = record.size(len(store.asked))
    if needed > Medium.sector_size:
        found.append(
            f"{len(store.asked)} kept values and faults need {needed:,} bytes at most; a board's store has"
            f" {Medium.sector_size:,} for a save"
        )
    return found
