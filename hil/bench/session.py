"""Runs one script on one target; the same code for every target."""

import time
from collections.abc import Callable

from firmware.base.errors import LinkError
from hil.bench.actions import Actions, ScriptStopped
from hil.bench.coverage import CoverageRecorder
from hil.bench.evidence import Evidence
from hil.bench.judge import ScoreWatch, standing_checks
from hil.bench.kept_file import KeptFile
from hil.bench.outcome import FAIL, INVALID, PASS, Outcome, Problem
from hil.bench.run_clock import OutOfTime, Plant, RunClock
from hil.bench.scripts import steps
from hil.bench.scripts.script import SIMULATED, Script
from hil.bench.scripts.vocabulary import Range, Vocabulary
from hil.bench.story import Asked, Facts, StepBegun, Story, Told, read_facts, tell
from hil.bench.story_events import happenings, timed
from hil.bench.targets.target import GuardedTarget, InspectedTarget, MachineStopped, PoweredTarget, Target
from hil.bench.view import View, seconds
from hil.game_tables import WiringTables

LAST_RECORDS = 12  # how many the outcome holds
TOLERANCE_MS = 100  # in real time: how late a contact, a record or a look may be


class Session:
    """One run of one script; the Scene that conditions look at."""

    def __init__(
        self,
        script: Script,
        target: Target,
        vocabulary: Vocabulary,
        wiring: WiringTables,
        plant: Plant | None = None,
        real_time: bool = False,
    ) -> None:
        self.script = script
        self.view = View(vocabulary.names)
        self.plant = plant if script.balls == SIMULATED else None
        self.covered = CoverageRecorder(self.view, lambda: getattr(target, "answers", ()))
        self.clock = RunClock(target, self.view, self.plant, script.limit_ms)
        self.actions = Actions(self.clock, self.view, self.plant, vocabulary)
        self._begun: list[StepBegun] = []
        self._marked_at = self._marked_line = 0  # the position in the history of the last mark; its line
        self._stopped_ms: int | None = None  # when the rules raised
        self._facts: Facts | None = None  # of the failing line
        self._wiring = wiring
        self._scores = ScoreWatch(self.view)
        self.clock.watchers.append(self._scores.check_display)
        balls = vocabulary.settings.get("balls", Range(0, 0))
        self._settings = {name: row.usual for name, row in vocabulary.settings.items()} | script.settings
        self._balls_a_game = script.settings.get("balls", balls.usual)
        self._real_time = real_time
        self._outcome = Outcome(
            str(script.path), script.title, script.covers, target.name, real_time=real_time
        )

    def run(self) -> Outcome:
        """Run every step until one fails, then the standing checks; target errors go to the outcome."""
        began = time.perf_counter()
        try:
            if self.script.switches_power:
                self._play_with_power()
            else:
                self._play_to_end()
        except LinkError as error:
            self._invalid(str(error))
        except MachineStopped as error:
            self._stopped(error)
        self._outcome.wall_s = time.perf_counter() - began
        return self._sum_up()

    @property
    def since(self) -> int:
        """Where in `view.history` the events of the present action begin."""
        return self.actions.since

    @property
    def marked(self) -> dict[int, int]:
        """Each player's score at the last `mark` line, by player (from 1)."""
        return self.actions.marked

    def balls_in(self, place: str) -> int:
        """How many of the plant's balls are in a place; 0 without a plant."""
        return self.plant.places().get(place, 0) if self.plant is not None else 0

    def window(self, name: str) -> int:
        """The ms left of a window; 0: closed, negative: it stands still. Raises LinkError: not known."""
        return self._inspected("windows").windows()[self.view.names.windows.index(name)]

    def value(self, name: str) -> int:
        """What a value holds; one of a player is the playing player's. Raises LinkError: not known."""
        return self._inspected("values").values()[self.view.names.values.index(name)]

    def _inspected(self, what: str) -> InspectedTarget:
        target = self.clock.target
        if not isinstance(target, InspectedTarget):
            raise LinkError(f"the {what} of a machine cannot be read on '{target.name}'")
        return target

    def _play_to_end(self) -> None:
        self._play()
        self._outcome.digest = self.clock.finish()

    def _play_with_power(self) -> None:
        """Play with a file for what the machine keeps. Raises LinkError: the power cannot be switched."""
        target = self.clock.target
        if not isinstance(target, PoweredTarget):
            raise LinkError(f"the bench cannot switch the power of '{target.name}'")
        kept = KeptFile()
        target.keep(kept.path)
        try:
            self.actions.seed, self.actions.kept = self.script.seed, kept
            self._play_to_end()
        finally:
            target.keep(None)
            kept.close()

    def _play(self) -> None:
        try:
            self.clock.start(self.script.seed, self.script.settings)
            for step in self.script.steps:
                self._do(step)
        except ScriptStopped as stop:
            self._fail(stop.problem)
            self._facts = read_facts(self.clock.target, self.view)
            self._judge_rest_of_instant(self.script.steps[len(self._begun) :])
        self.clock.fetch_records()
        self._check()
        if self._facts is None and self._outcome.problems:
            self._facts = read_facts(self.clock.target, self.view)

    def _check(self) -> None:
        evidence = Evidence(
            self.view,
            self._wiring,
            self.clock.now,
            self.plant,
            self._balls_a_game,
            self._scores,
            self._settings,
        )
        for finding in standing_checks(evidence):
            self._fail(Problem(0, finding.expected, finding.seen, finding.at_ms, standing=True))

    def _judge_rest_of_instant(self, left: list[steps.Step]) -> None:
        """Judge the expectations that follow a failed one in the same instant, up to the next action.

        In real time, where each may come true a little later, there is no such instant.
        """
        for step in left:
            if self._real_time or not isinstance(step, steps.Expect) or step.when != steps.NOW:
                return
            if not step.condition.is_met(self):
                seen = step.condition.describe_seen(self)
                self._fail(Problem(step.line, expected_words(step), seen, self.clock.now))

    def _stopped(self, error: MachineStopped) -> None:
        """The rules raised: apply the records from before it, and blame the line that led to it."""
        try:
            self.clock.fetch_records()
        except (LinkError, MachineStopped):
            pass  # the error itself is reported
        self._facts = read_facts(self.clock.target, self.view)
        line = self._begun[-1].line if self._begun else 0
        self._stopped_ms = self.clock.now if error.at_ms is not None else self.view.now_ms
        self._fail(Problem(line, "the machine keeps running", str(error), self._stopped_ms))

    def _do(self, step: steps.Step) -> None:
        self._begun.append(StepBegun(self.clock.now, step.line, step.text))
        if isinstance(step, steps.Mark):
            self.clock.fetch_records()
            self._marked_at, self._marked_line = len(self.view.history), step.line
        try:
            if isinstance(step, steps.Expect):
                self._expect(step)
                self.covered.expectation_held()
            else:
                self.covered.action_begins()
                self.actions.perform(step)
                self.covered.action_ended()
        except OutOfTime:
            limit = self.script.limit_ms / 60_000
            expected = f"an end within {limit:g} min"
            self.actions.stop(step, expected, "the script still running; a 'limit' line raises it")

    def _fail(self, problem: Problem) -> None:
        self._outcome.code = max(self._outcome.code, FAIL)
        self._outcome.problems.append(problem)

    def _invalid(self, reason: str) -> None:
        self._outcome.code = INVALID
        self._outcome.reason = reason

    def _sum_up(self) -> Outcome:
        outcome = self._outcome
        outcome.simulated_ms = self.clock.now
        outcome.records = self.clock.count
        outcome.scores = dict(self.view.scores)
        first = max(0, len(self.view.history) - LAST_RECORDS)
        outcome.last = [timed(each) for each in happenings(self.view, first)][-LAST_RECORDS:]
        if outcome.code != PASS:
            outcome.story = self._tell()
        outcome.ledger = ledger_lines(self.view)
        outcome.history = self.view.history
        outcome.contact_changes = self.clock.contact_changes
        return outcome

    def _tell(self) -> Story:
        told = Told(
            steps=self._begun,
            covers=self.script.covers,
            action_at=self.actions.since,
            marked_at=self._marked_at,
            marked_line=self._marked_line,
            facts=self._facts or Facts(),
            balls=self.plant.places() if self.plant is not None else {},
            at_ms=self.clock.now if self._stopped_ms is None else self._stopped_ms,
            failing_line=next((p.line for p in self._outcome.problems if p.line), 0),
            asked=self._asked(),
        )
        return tell(self.view, told)

    def _asked(self) -> list[Asked] | None:
        """What guards answered since the machine was switched on; None where they are not recorded."""
        recorder = self.clock.target
        if not isinstance(recorder, GuardedTarget) or not recorder.records_guards:
            return None
        since_on = self.view.on_since_ms
        return [Asked(ms + since_on, row, answer) for ms, (row, answer) in recorder.asked()]

    def _expect(self, step: steps.Expect) -> None:
        self.clock.fetch_records()
        if step.when == steps.STAYS:
            self._require_throughout(step)
        elif step.when == steps.WITHIN:
            self._require_within(step, step.for_ms)
        else:
            if step.when == steps.AT_END:
                self.clock.run_to(self.clock.now + step.for_ms)
            self._require_within(step, 0)

    def _require_within(self, step: steps.Expect, within_ms: int) -> None:
        """Require the condition now, or at some instant within the time."""
        within_ms += TOLERANCE_MS if self._real_time else 0
        if step.condition.is_met(self):
            return
        came: list[int] = []

        def look() -> None:
            if step.condition.is_met(self):
                came.append(1)

        self._watching(look, self.clock.now + within_ms, lambda: bool(came) or step.condition.is_met(self))
        if not came and not step.condition.is_met(self):
            self.actions.stop(step, expected_words(step), step.condition.describe_seen(self))

    def _require_throughout(self, step: steps.Expect) -> None:
        """Require the condition now and at every instant of the time."""
        for_ms = step.for_ms
        if self._real_time:
            self._require_within(step, 0)
            for_ms = max(0, for_ms - 2 * TOLERANCE_MS)
        broken: list[tuple[str, int]] = []

        def look() -> None:
            if not broken and not step.condition.is_met(self):
                broken.append((step.condition.describe_seen(self), max(self.view.now_ms, began)))

        began = self.clock.now
        look()
        if not broken:
            self._watching(look, began + for_ms, lambda: bool(broken))
        if broken:
            self.actions.stop(step, expected_words(step), *broken[0])

    def _watching(self, look: Callable[[], None], until_ms: int, stop: Callable[[], bool]) -> None:
        """Run to `until_ms` with `look` called after each millisecond that has records."""
        self.clock.watchers.append(look)
        try:
            self.clock.run_to(until_ms, stop)
        finally:
            self.clock.watchers.remove(look)


def expected_words(step: steps.Expect) -> str:
    """An expectation as in the report: its line without the first word."""
    _, _, rest = step.text.partition(" ")
    return rest.strip()


def ledger_lines(view: View) -> list[str]:
    """The ledger as lines of text: every award in the order of payment."""
    lines = []
    player = base = 0
    for event in view.history:
        if event.kind == "event" and event.name == "ball.started":
            player = event.value // 16
        elif event.kind == "base":
            base = event.value
        elif event.kind == "award":
            factor = f" ({base:,} × {event.value // base})" if base else ""
            lines.append(f"{seconds(event.ms)}  player {player}  {event.name}  {event.value:,}{factor}")
            base = 0
    return lines
