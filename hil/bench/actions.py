"""Performs the action lines of a script: contacts, waits, shots and macros."""

from collections.abc import Callable
from typing import Any, NoReturn

from firmware.base.errors import ScriptError
from hil.bench.kept_file import KeptFile
from hil.bench.outcome import Problem
from hil.bench.run_clock import Plant, RunClock
from hil.bench.scripts import steps
from hil.bench.scripts.grammar import EXTRA_MS
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.view import View, seconds

SETTLE_MS = 1000  # what a machine that was just switched on needs to find its balls
READY_MS = 15_000  # how long an action waits for a ball at the plunger or at a flipper
NEXT_BALL_MS = 60_000
START, PLUNGER, PLUNGE, DRAIN = "start", "lane", "plunge", "drain"  # names the macros rely on
FIELD = "playfield"  # the plant's place for balls that are in no device


class ScriptStopped(Exception):
    """The script cannot continue; `problem` is the reason."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.expected)
        self.problem = problem


class Actions:
    """Performs the actions of one session.

    `since` is the position in the view's history from which events count, `marked` the scores at a mark.
    """

    seed = 1  # of the machine, at each power-on
    kept: KeptFile | None = None  # of a run that switches the power

    def __init__(self, clock: RunClock, view: View, plant: Plant | None, vocabulary: Vocabulary) -> None:
        self.clock = clock
        self.view = view
        self.plant = plant
        self.since = 0
        self.marked: dict[int, int] = {}
        self._vocabulary = vocabulary
        self._rest_ms = max((closing for closing, _ in vocabulary.debounce.values()), default=0) + EXTRA_MS

    def perform(self, step: steps.Step) -> None:
        """Perform an action line; events count from its beginning. Raises ScriptStopped."""
        self.clock.fetch_records()
        self.since = len(self.view.history)
        _DO[type(step)](self, step)

    def stop(self, step: steps.Step, expected: str, seen: str, at_ms: int = -1) -> NoReturn:
        """Raise ScriptStopped for `step`."""
        raise ScriptStopped(Problem(step.line, expected, seen, self.clock.now if at_ms < 0 else at_ms))

    def _press(self, step: steps.Press) -> None:
        for switch in step.switches:
            self.clock.contact(switch, True)

    def _release(self, step: steps.Release) -> None:
        for switch in step.switches:
            self.clock.contact(switch, False)

    def _tap(self, step: steps.Tap) -> None:
        for _ in range(step.times):
            for switch in step.switches:
                self._tap_once(switch, *step.rhythm[switch])

    def _tap_once(self, switch: str, closed_ms: int, open_ms: int) -> None:
        self.clock.contact(switch, True)
        self._pass(closed_ms)
        self.clock.contact(switch, False)
        self._pass(open_ms)

    def _hold(self, step: steps.Hold) -> None:
        for switch in step.switches:
            self.clock.contact(switch, True)
        self._pass(step.for_ms)
        for switch in step.switches:
            self.clock.contact(switch, False)

    def _wait(self, step: steps.Wait) -> None:
        self._pass(step.for_ms)

    def _mark(self, step: steps.Mark) -> None:
        self.marked = dict(self.view.scores)

    def _power_off(self, step: steps.PowerOff) -> None:
        if step.while_saving:
            self._run_to_save(step)
        self.clock.power_off()

    def _run_to_save(self, step: steps.Step) -> None:
        """Run to the millisecond of the next save, and leave it half done."""
        assert self.kept is not None
        self.kept.remember()
        deadline = self.clock.now + READY_MS
        while not self.kept.was_saved():
            if self.clock.now >= deadline:
                self.stop(step, f"a save within {seconds(READY_MS)}", "none")
            self.clock.run_to(self.clock.now + 1)
        self.kept.tear()

    def _power_on(self, step: steps.PowerOn) -> None:
        self.clock.power_on(self.seed)

    def _pass(self, ms: int) -> None:
        self.clock.run_to(self.clock.now + ms)

    def _shoot(self, step: steps.Shoot) -> None:
        for shot in step.shots:
            self._shot(step, shot, step.options)

    def _shot(self, step: steps.Step, shot: str, options: dict[str, int]) -> None:
        """One whole shot: wait for a ball, shoot, wait until it has come to rest."""
        assert self.plant is not None
        plant = self.plant
        deadline = self.clock.now + READY_MS
        while True:
            try:
                before = plant.places()
                moving = plant.moving()
                first = len(self.clock.contact_changes)
                plant.shoot(shot, self.clock.now, **options)
                break
            except ScriptError as error:
                if self.clock.now >= deadline:
                    self.stop(step, f"a ball for the shot {shot} within {seconds(READY_MS)}", error.text)
                self.clock.run_to(min(deadline, self.clock.now + 20))
        self._until(step, lambda: plant.moving() <= moving, READY_MS, f"the shot {shot} to come to its end")
        places = plant.places()
        if places.get(FIELD, 0) < before.get(FIELD, 0):
            self._settle(step, plant, [place for place in places if places[place] > before.get(place, 0)])
        self._read_contacts(step, first)

    def _read_contacts(self, step: steps.Step, first: int) -> None:
        """Wait until every contact that changed in the shot has been read as it was at the shot's end."""
        clock, switches = self.clock, self.view.switches
        last = {change.switch: change for change in clock.contact_changes[first:]}
        count = len(clock.contact_changes)

        def changed_again() -> set[str]:
            return {change.switch for change in clock.contact_changes[count:]}

        def is_read() -> bool:
            unread = {switch for switch, change in last.items() if switches[switch] != change.closed}
            return not unread - changed_again()

        self._until(step, is_read, READY_MS, "the contacts of the shot to be read")

    def _settle(self, step: steps.Step, plant: Plant, entered: list[str]) -> None:
        """Wait until a ball in a device has stopped rolling and its switch is debounced.

        No contact may tell that it rolls: a device need not have a switch where balls come in.
        """
        clock = self.clock
        self._until(
            step,
            lambda: (
                clock.now - clock.contact_changed_ms >= self._rest_ms
                and not any(plant.rolling(place) for place in entered)
            ),
            READY_MS,
            "the contacts to come to rest",
        )

    def _start(self, step: steps.Start) -> None:
        rhythm = self._rhythm(START)
        self._pass(SETTLE_MS)
        for _ in range(step.players):
            self._tap_once(START, *rhythm)
        if self.plant is not None:
            self._until(step, lambda: self._posted("ball.started"), READY_MS, "the game to start a ball")
            self._ball_at_plunger(step)

    def _launch(self, step: steps.Launch) -> None:
        self._ball_at_plunger(step)
        self._shot(step, PLUNGE, {name: r.least for name, r in self._vocabulary.shots[PLUNGE].items()})

    def _end_ball(self, step: steps.EndBall) -> None:
        self._shot(step, DRAIN, {})
        ended = lambda: self._posted("ball.started") or self._posted("game.over")  # noqa: E731
        self._until(step, ended, NEXT_BALL_MS, "the next ball, or the end of the game")
        if not self._posted("game.over"):
            self._ball_at_plunger(step)

    def _ball_at_plunger(self, step: steps.Step) -> None:
        self._until(step, lambda: self.view.switches[PLUNGER], READY_MS, "a ball at the plunger")

    def _posted(self, event: str) -> bool:
        return any(h.kind == "event" and h.name == event for h in self.view.history[self.since :])

    def _until(self, step: steps.Step, come: Callable[[], bool], most_ms: int, what: str) -> None:
        self.clock.fetch_records()
        if not come():
            self.clock.run_to(self.clock.now + most_ms, come)
        if not come():
            self.stop(step, f"{what} within {seconds(most_ms)}", "nothing of the kind")

    def _rhythm(self, switch: str) -> tuple[int, int]:
        closing, opening = self._vocabulary.debounce.get(switch, (0, 0))
        return closing + EXTRA_MS, opening + EXTRA_MS


# Any: each method takes the one kind of step that it is listed for.
_DO: dict[type[steps.Step], Callable[[Actions, Any], None]] = {
    steps.Press: Actions._press,
    steps.Release: Actions._release,
    steps.Tap: Actions._tap,
    steps.Hold: Actions._hold,
    steps.Wait: Actions._wait,
    steps.Mark: Actions._mark,
    steps.Shoot: Actions._shoot,
    steps.Start: Actions._start,
    steps.Launch: Actions._launch,
    steps.EndBall: Actions._end_ball,
    steps.PowerOff: Actions._power_off,
    steps.PowerOn: Actions._power_on,
}
