"""Proposes expectations for a script: what a run shows after each of its actions, at a chosen level."""

from collections import Counter
from collections.abc import Iterator

from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean
from hil.bench.scripts.script import Script
from hil.bench.scripts.steps import Expect, Step
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.session import Session
from hil.bench.targets.target import Target
from hil.bench.view import TraceEvent, pattern_words
from hil.game_tables import WiringTables

SCORE, AWARDS, LAMPS, EVERYTHING = "score", "awards", "lamps", "everything"
LEVELS = (SCORE, AWARDS, LAMPS, EVERYTHING)  # each has the expectations of those before it
TURNS = ("ball.started", "game.over")  # after these, and at the end, the score is expected
HAPPENINGS = {"coil": "fired", "refused": "refused", "cue": "played", "event": "posted"}


def check_level(level: str) -> None:
    """Raises UsageError when there is no such level."""
    if level not in LEVELS:
        hint = did_you_mean(level, list(LEVELS))
        raise UsageError(f"--expect takes {', '.join(LEVELS)}, not '{level}'{hint}")


def with_expectations(
    text: str, script: Script, level: str, vocabulary: Vocabulary, wiring: WiringTables, target: Target
) -> str:
    """The text of a script with expectations below its actions; `script` is the text parsed.

    The script is played once on `target`. What it expects already, comes as it was.
    """
    session = ProposingSession(script, target, vocabulary, wiring)
    session.propose(level)
    made: list[str] = []
    for number, line in enumerate(text.rstrip("\n").split("\n"), 1):
        made += [line, *session.proposed.get(number, ())]
    return "\n".join(made) + "\n"


class ProposingSession(Session):
    """A run of a script whose contacts are its own (`balls moved`) that writes down what could be expected.

    `proposed`: by the number of an action's line, the lines of expectations for it.
    """

    def __init__(self, script: Script, target: Target, vocabulary: Vocabulary, wiring: WiringTables) -> None:
        super().__init__(script, target, vocabulary, wiring)
        self.proposed: dict[int, list[str]] = {}
        self._level = SCORE
        self._lamps = dict(self.view.lamps)
        self._states = dict(self.view.states)
        self._lines: tuple[str, ...] = ("",) * len(self.view.lines)
        self._final = script.steps[-1].line

    def propose(self, level: str) -> None:
        """Play the script and fill `proposed`."""
        self._level = level
        self.run()

    def _do(self, step: Step) -> None:
        super()._do(step)
        if not isinstance(step, Expect):
            self.clock.fetch_records()
            self.proposed[step.line] = [f"expect {words}" for words in self._seen(step)]

    def _seen(self, step: Step) -> Iterator[str]:
        since = self.view.history[self.since :]
        if self._level != SCORE:
            yield from awards(since)
        if self._level in (LAMPS, EVERYTHING):
            yield from self._changed_lamps()
        if self._level == EVERYTHING:
            yield from happenings(since)
            yield from self._changed_states()
            yield from self._changed_lines()
        if step.line == self._final or any(each.kind == "event" and each.name in TURNS for each in since):
            yield from self._score_words()

    def _score_words(self) -> Iterator[str]:
        for player in range(1, self.view.players + 1):
            yield f"score of player {player} is {self.view.scores.get(player, 0):,}"

    def _changed_lamps(self) -> Iterator[str]:
        for name, pattern in self.view.lamps.items():
            if pattern != self._lamps[name]:
                yield f"lamp {name} is {pattern_words(pattern)}"
        self._lamps = dict(self.view.lamps)

    def _changed_states(self) -> Iterator[str]:
        for region, state in self.view.states.items():
            if state != self._states.get(region):
                yield f"state of {region} is {state}"
        self._states = dict(self.view.states)

    def _changed_lines(self) -> Iterator[str]:
        for number, line in enumerate(self.view.lines):
            if line != self._lines[number] and '"' not in line:
                yield f'line {number + 1} is "{line}"'
        self._lines = self.view.lines


def awards(since: list[TraceEvent]) -> Iterator[str]:
    """What to expect of the awards that were paid."""
    paid = Counter((each.name, each.value) for each in since if each.kind == "award")
    for (name, points), times in paid.items():
        yield f"award {name} paid{f' {points:,}' if points else ''}{_times(times)}"


def happenings(since: list[TraceEvent]) -> Iterator[str]:
    """What to expect of coils, cues and events."""
    found = Counter(
        (each.kind, each.name)
        for each in since
        if each.kind in HAPPENINGS and (each.value or each.kind != "coil")
    )
    for (kind, name), times in found.items():
        yield f"{'coil' if kind == 'refused' else kind} {name} {HAPPENINGS[kind]}{_times(times)}"


def _times(times: int) -> str:
    return f" {times} times" if times > 1 else ""
