"""Compares the lamps of a run with what a game's independent model says of them."""

from collections.abc import Mapping
from typing import NamedTuple

LOOK_MS = 400  # between two looks; longer than any tolerance of a window


class WrongLamp(NamedTuple):
    """A lamp that two looks in succession showed otherwise than the sheet says."""

    name: str
    is_lit: bool


class LampJudge:
    """Looks at the lamps now and then."""

    def __init__(self) -> None:
        self._lit: dict[str, bool] = {}
        self._suspects: set[WrongLamp] = set()
        self._blamed: set[str] = set()
        self._looked_at = 0

    def record(self, name: str, pattern: int) -> None:
        """A lamp's pattern changed; 0 is off."""
        self._lit[name] = pattern != 0

    def is_due(self, now: int) -> bool:
        """Whether the lamps are to be looked at now (ms)."""
        return now - self._looked_at >= LOOK_MS

    def look(self, now: int, meant: Mapping[str, bool | None]) -> list[WrongLamp]:
        """What is wrong now and was at the last look, each lamp once a run.

        `meant`: by lamp whether the sheet wants it lit; None and lamps that are not in it are not judged.
        """
        self._looked_at = now
        wrong = {
            WrongLamp(name, not lit)
            for name, lit in meant.items()
            if lit is not None and lit != self._lit.get(name, False)
        }
        found = [one for one in sorted(wrong & self._suspects) if one.name not in self._blamed]
        self._suspects = wrong
        self._blamed.update(one.name for one in found)
        return found
