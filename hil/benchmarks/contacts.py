"""The contacts of a script, recorded at the desk, so that they can be played without a bench.

A text of lines `MS SWITCH CLOSED`, the last one `MS -1 0`: the end of the run.
"""

from dataclasses import dataclass

from hil.bench.targets.desk import DeskTarget
from hil.games import Game

END = -1


@dataclass(frozen=True)
class Contacts:
    """What a script did to the contacts, and what the desk made of it."""

    seed: int
    settings: dict[str, int]
    changes: list[tuple[int, int, int]]
    digest: str
    records: int

    def lines(self) -> str:
        """The text form."""
        return "".join(f"{ms} {switch} {closed}\n" for ms, switch, closed in self.changes)


class ContactTape(DeskTarget):
    """The desk target, which records every contact change with its time."""

    def __init__(self, game: Game) -> None:
        super().__init__(game)
        self._now = 0
        self._count = 0
        self._changes: list[tuple[int, int, int]] = []
        self._given: tuple[int, dict[str, int]] = (1, {})

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start the console; seed and settings are recorded."""
        self._given = (seed, dict(settings))
        super().start(seed, settings)

    def contact(self, switch: int, closed: bool) -> None:
        """Pass a contact change on and record it with the present time."""
        self._changes.append((self._now, switch, int(closed)))
        super().contact(switch, closed)

    def advance(self, until_ms: int) -> int:
        """Advance the console towards `until_ms`; the time reached, in ms."""
        self._now = super().advance(until_ms)
        return self._now

    def finish(self) -> bytes:
        """End the run; the SHA-256 of the trace."""
        self._count = self._console.trace.count
        self._digest = super().finish()
        return self._digest

    def contacts(self) -> Contacts:
        """What was recorded, once the run is over."""
        seed, settings = self._given
        changes = [*self._changes, (self._now, END, 0)]
        return Contacts(seed, settings, changes, self._digest.hex(), self._count)
