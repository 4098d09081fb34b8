"""Coverage of a game's charts by scripts: transitions, states and guards.

A transition, its target state or a guard's answer counts as covered only when an expectation holds after
it and before another action line causes events.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from hil.bench.names import Names, Row
from hil.bench.targets.guard_recorder import Answer
from hil.bench.view import View


class Question(NamedTuple):
    """A guard of a state for an event; a guard and its opposite are one question."""

    region: str
    source: str
    event: str
    guard: str

    def words(self, said: bool) -> str:
        """The sentence of the report for an answer that was never covered."""
        return f"{self.region}: {self.source} on {self.event}: {self.guard} was never {str(said).lower()}"


def question(row: Row) -> Question:
    """The question of a row that has a guard."""
    return Question(row.region, row.source, row.event, row.guard.removeprefix("not "))


class CoverageRecorder:
    """Records the coverage of one run; the session calls its three methods about actions and expectations."""

    def __init__(self, view: View, answers: Callable[[], Sequence[Answer]] = tuple) -> None:
        self.seen: set[tuple[int, str]] = set()
        """(row, target state) of every covered transition."""
        self.answers: set[Answer] = set()
        """The covered answers of guards."""
        self.resting = False  # an expectation held, so the initial states are covered
        self._view = view
        self._from = 0
        self._moves = 0
        self._events = 0
        self._answers = answers
        self._answers_read = 0
        self._answers_from = 0

    def action_begins(self) -> None:
        """An action line begins."""
        self._moves = len(self._view.moves)
        self._answers_read = len(self._answers())
        self._events = self._view.events

    def action_ended(self) -> None:
        """An action line ended: when it caused events, earlier transitions no longer count."""
        if self._view.events != self._events:
            self._from = self._moves
            self._answers_from = self._answers_read

    def expectation_held(self) -> None:
        """An expectation held: every transition since the last action counts."""
        self.resting = True
        names = self._view.names
        self.seen.update((row, names.states[state]) for row, state in self._view.moves[self._from :])
        self.answers.update(self._answers()[self._answers_from :])


@dataclass
class Coverage:
    """The coverage of one game, summed over scripts."""

    names: Names
    rows: set[int] = field(default_factory=set)
    states: set[tuple[str, str]] = field(default_factory=set)
    answers: set[tuple[Question, bool]] = field(default_factory=set)

    def add(self, recorder: CoverageRecorder) -> None:
        """Add the coverage of one run."""
        for row, state in recorder.seen:
            self.rows.add(row)
            self.states.add((self.names.rows[row].region, state))
        if recorder.resting:
            self.states.update(self.names.resting.items())
        for number, answer in recorder.answers:
            asking = self.names.rows[number]
            self.answers.add((question(asking), answer != asking.guard.startswith("not ")))

    @property
    def leaves(self) -> list[tuple[str, str]]:
        """(region, state) of every state that holds no other."""
        return [(region, state) for region, states in self.names.leaves.items() for state in states]

    def by_feature(self) -> list["FeatureCoverage"]:
        """The coverage of each feature with a chart: the game's own first, each part in the game's order."""
        own = [region for region in self.names.leaves if region in self.names.own]
        rest = [region for region in self.names.leaves if region not in self.names.own]
        return [self.of_feature(region) for region in (*own, *rest)]

    def of_feature(self, region: str) -> "FeatureCoverage":
        """The coverage of one feature's chart."""
        numbers = [number for number, row in enumerate(self.names.rows) if row.region == region]
        return FeatureCoverage(
            region,
            region in self.names.own,
            tuple(self.names.rows[number] for number in numbers),
            frozenset(at for at, number in enumerate(numbers) if number not in self.rows),
            self.names.leaves[region],
            frozenset(s for s in self.names.leaves[region] if (region, s) not in self.states),
            frozenset((asked, said) for asked, said in self.answers if asked.region == region),
        )

    def missing_rows(self) -> list[str]:
        """The transitions that are not covered, in words."""
        return [words for one in self.by_feature() for words in one.missing_rows()]

    def missing_states(self) -> list[str]:
        """The states that are not covered."""
        return [f"{region}: {state}" for region, state in self.leaves if (region, state) not in self.states]

    @property
    def questions(self) -> list[Question]:
        """Every question, in the order of the rows."""
        return list(dict.fromkeys(question(row) for row in self.names.rows if row.guard))

    def missing_answers(self) -> list[str]:
        """The answers of guards that are not covered, in words."""
        ways = [(asked, said) for asked in self.questions for said in (True, False)]
        return [asked.words(said) for asked, said in ways if (asked, said) not in self.answers]

    def per_cent(self) -> float:
        """Covered transitions and states, 0 to 100 %."""
        whole = len(self.names.rows) + len(self.leaves)
        missing = len(self.missing_rows()) + len(self.missing_states())
        return 100 * (whole - missing) / whole if whole else 100.0

    def lines(self) -> Iterable[str]:
        """The lines of the report: figures, then each feature with what is not covered of it."""
        rows, states = self.missing_rows(), self.missing_states()
        all_rows, all_states = len(self.names.rows), len(self.leaves)
        yield (
            f"coverage {self.per_cent():.1f} %: {all_rows - len(rows)} of {all_rows} transitions, "
            f"{all_states - len(states)} of {all_states} states"
        )
        yield self._guard_line()
        features = self.by_feature()
        for title, own in (("the game's own features:", True), ("the cabinet's:", False)):
            yield title
            for one in features:
                if one.is_own == own:
                    yield from one.lines(bool(self.answers))

    def _guard_line(self) -> str:
        if not self.answers:
            return "guards: what they say is known at the desk only"
        both = sum({(asked, True), (asked, False)} <= self.answers for asked in self.questions)
        return f"guards: {both} of {len(self.questions)} seen true and false"


@dataclass(frozen=True)
class FeatureCoverage:
    """The coverage of one feature's chart; rows are counted from 0 in the chart."""

    name: str
    is_own: bool
    """Whether the feature is the game's own, and not the cabinet's."""
    rows: tuple[Row, ...]
    unseen_rows: frozenset[int]
    states: tuple[str, ...]
    unseen_states: frozenset[str]
    answers: frozenset[tuple[Question, bool]]
    """What guards were seen to say."""

    @property
    def questions(self) -> list[Question]:
        """Every question, in the order of the rows."""
        return list(dict.fromkeys(question(row) for row in self.rows if row.guard))

    def unseen_answers(self) -> list[tuple[Question, bool]]:
        """The answers that no guard was seen to give."""
        ways = [(asked, said) for asked in self.questions for said in (True, False)]
        return [way for way in ways if way not in self.answers]

    def unseen_of_row(self, number: int) -> str:
        """What the guard of a row was never seen to say: "never true", "never false", both, or ""."""
        row = self.rows[number]
        if not row.guard:
            return ""
        asked = question(row)
        never = [str(said).lower() for said in (True, False) if (asked, said) not in self.answers]
        return f"{asked.guard} never {' or '.join(never)}" if never else ""

    def missing_rows(self) -> list[str]:
        """The transitions that are not covered, in words."""
        rows = [row for number, row in enumerate(self.rows) if number in self.unseen_rows]
        return [f"{row.region}: {row.source} on {row.event}{row.rest}" for row in rows]

    def lines(self, with_guards: bool) -> Iterable[str]:
        """A line of figures, and one for each thing that is not covered."""
        rows, states = len(self.rows), len(self.states)
        figures = (
            f"  {self.name}: {rows - len(self.unseen_rows)} of {rows} transitions, "
            f"{states - len(self.unseen_states)} of {states} states"
        )
        unseen = self.unseen_answers()
        if with_guards and self.questions:
            ways = 2 * len(self.questions)
            figures += f", {ways - len(unseen)} of {ways} answers of guards"
        yield figures
        yield from (f"    transition missing: {words}" for words in self.missing_rows())
        yield from (f"    state missing: {self.name}: {s}" for s in self.states if s in self.unseen_states)
        if with_guards:
            yield from (f"    guard missing: {asked.words(said)}" for asked, said in unseen)

    def data(self) -> dict[str, object]:
        """The figures and what is not covered, as plain data."""
        return {
            "feature": self.name,
            "own": self.is_own,
            "transitions": len(self.rows),
            "states": len(self.states),
            "answers": 2 * len(self.questions),
            "missing_transitions": self.missing_rows(),
            "missing_states": [state for state in self.states if state in self.unseen_states],
            "missing_answers": [asked.words(said) for asked, said in self.unseen_answers()],
        }
