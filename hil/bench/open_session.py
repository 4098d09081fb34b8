"""A session whose lines come one at a time, from a program in the place of a script file."""

from collections.abc import Callable
from pathlib import Path

from firmware.base.errors import ScriptError
from hil.bench.actions import ScriptStopped
from hil.bench.outcome import Outcome
from hil.bench.run_clock import Plant
from hil.bench.scripts import script
from hil.bench.scripts.line import Line
from hil.bench.scripts.script import Script
from hil.bench.scripts.steps import Step
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.session import Session
from hil.bench.targets.target import Target
from hil.game_tables import WiringTables


class OpenSession(Session):
    """Takes lines of the script language by `line`, each performed at once, and ends with `finish`.

    `text` is the run so far as a script; it gives the same trace when it is replayed.
    """

    def __init__(
        self,
        source: Path,
        target: Target,
        vocabulary: Vocabulary,
        wiring: WiringTables,
        plant: Callable[[int], Plant],
    ) -> None:
        """`plant` makes the balls and mechanisms, from the seed that a line may still give."""
        super().__init__(Script(source), target, vocabulary, wiring)
        self._vocabulary = vocabulary
        self._make_plant = plant
        self._lines: list[str] = []
        self._given: set[str] = set()  # the header words so far
        self._has_begun = False
        self._has_ended = False

    @property
    def text(self) -> str:
        """The lines so far."""
        return "\n".join(self._lines) + "\n"

    @property
    def has_failed(self) -> bool:
        """Whether a line failed; then no other is taken."""
        return bool(self._outcome.problems)

    def line(self, text: str) -> None:
        """Perform one header, action or expectation line.

        Raises ScriptError (not in the language), ScriptStopped (it fails), MachineStopped, LinkError.
        """
        if self._has_ended or self.has_failed:
            raise ScriptError("this run has ended; no line follows", text)
        number = len(self._lines) + 1
        where = f"line {number}, '{text}'"
        steps = len(self.script.steps)
        script.read_line(self.script, Line(text, where), number, self._vocabulary, self._given)
        script.check_whole(self.script, where)
        self._lines.append(text)
        if len(self.script.steps) > steps:
            self._perform(self.script.steps[-1])

    def finish(self) -> Outcome:
        """Make the standing checks and end the run; its outcome has the trace hash. Raises LinkError."""
        if self._has_begun and not self._has_ended:
            self.clock.fetch_records()
            self._check()
            self._outcome.digest = self.clock.finish()
        self._has_ended = True
        return self._sum_up()

    def finish_failed(self) -> Outcome:
        """The outcome of a run that a failed line or check has ended."""
        self._has_ended = True
        return self._sum_up()

    def _begin(self) -> None:
        given = self.script
        self._settings |= given.settings
        self._balls_a_game = given.settings.get("balls", self._balls_a_game)
        self._outcome.title, self._outcome.covers = given.title, given.covers
        self.clock.limit_ms = given.limit_ms
        if given.balls == script.SIMULATED:
            self.plant = self.clock.plant = self.actions.plant = self._make_plant(given.seed)
        self.clock.start(given.seed, given.settings)
        self._has_begun = True

    def _perform(self, step: Step) -> None:
        """Perform the newest line. Raises ScriptStopped, ScriptError."""
        if self.script.switches_power:
            raise ScriptError("power lines are for script files", step.text)
        if not self._has_begun:
            self._begin()
        try:
            self._do(step)
        except ScriptStopped as stop:
            self._fail(stop.problem)
            raise
