"""What is wrong with a machine file: every complaint is collected, none stops the reading."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from firmware.base.errors import GameError
from firmware.charts.suggest import nearest

MOST_LISTED = 12  # allowed words that a sentence lists when none of them is near


class RefusedLine(Exception):
    """One line of the machine file cannot be expanded; caused by the author, caught by the expansion."""


@dataclass
class Complaints:
    """Sentences with their lines; `shown` is the file as messages show it."""

    shown: str
    found: list[tuple[int, str]] = field(default_factory=list)

    def add(self, line: int, text: str) -> None:
        """Complain about a line (from 1)."""
        if (line, text) not in self.found:
            self.found.append((line, text))

    def errors(self) -> list[GameError]:
        """Every complaint by line, each with file and line."""
        return [GameError(text, f"{self.shown}:{line}") for line, text in sorted(self.found)]


def advice(given: object, allowed: Iterable[str]) -> str:
    """The tail of a sentence about an unknown name: the near miss, else what there is."""
    names = list(allowed)
    other = nearest(given, names) if isinstance(given, str) else ""
    if other:
        return f"; did you mean '{other}'?"
    listed = ", ".join(names[:MOST_LISTED]) + (", …" if len(names) > MOST_LISTED else "")
    return f"; there are {listed}" if names else "; there are none"
