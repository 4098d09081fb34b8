"""What scripts cover of a game's charts: transitions and states that some expectation looked at.

A transition counts only when an expectation that held follows it before the first event of another
action line; the same for the state it leads to.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from hil.names import Names
from hil.view import View


class Watch:
    """Follows one run: `acted` after each action line, `expected` after each expectation that held."""

    def __init__(self, view: View) -> None:
        self.seen: set[tuple[int, str]] = set()
        """(row, state it led to) of every transition that counts."""
        self.resting = False  # an expectation held before anything moved
        self._view = view
        self._from = 0
        self._moves = 0
        self._events = 0

    def begins(self) -> None:
        """An action line begins."""
        self._moves = len(self._view.moves)
        self._events = self._view.events

    def acted(self) -> None:
        """It is over: what was taken before is out of sight if anything happened since."""
        if self._view.events != self._events:
            self._from = self._moves

    def expected(self) -> None:
        """An expectation held."""
        self.resting = True
        names = self._view.names
        self.seen.update((row, names.states[state]) for row, state in self._view.moves[self._from :])


@dataclass
class Coverage:
    """Of one game, summed over scripts."""

    names: Names
    rows: set[int] = field(default_factory=set)
    states: set[tuple[str, str]] = field(default_factory=set)

    def add(self, watch: Watch) -> None:
        """What one run showed."""
        for row, state in watch.seen:
            self.rows.add(row)
            self.states.add((self.names.rows[row].region, state))
        if watch.resting:
            self.states.update(self.names.resting.items())

    @property
    def leaves(self) -> list[tuple[str, str]]:
        """Every state that holds no other, with its region."""
        return [(region, state) for region, states in self.names.leaves.items() for state in states]

    def missing_rows(self) -> list[str]:
        """The transitions nobody looked at, in words."""
        rows = self.names.rows
        return [
            f"{row.region}: {row.source} on {row.event}{row.rest}"
            for number, row in enumerate(rows)
            if number not in self.rows
        ]

    def missing_states(self) -> list[str]:
        """The states nobody looked at."""
        return [f"{region}: {state}" for region, state in self.leaves if (region, state) not in self.states]

    def per_cent(self) -> float:
        """Transitions and states together, 0 to 100."""
        whole = len(self.names.rows) + len(self.leaves)
        missing = len(self.missing_rows()) + len(self.missing_states())
        return 100 * (whole - missing) / whole if whole else 100.0

    def lines(self) -> Iterable[str]:
        """The figures, then what is missing, by name."""
        rows, states = self.missing_rows(), self.missing_states()
        all_rows, all_states = len(self.names.rows), len(self.leaves)
        yield (
            f"coverage {self.per_cent():.1f} %: {all_rows - len(rows)} of {all_rows} transitions, "
            f"{all_states - len(states)} of {all_states} states"
        )
        yield from (f"  transition missing: {words}" for words in rows)
        yield from (f"  state missing: {words}" for words in states)
