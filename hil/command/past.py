"""A played machine that can go back in time.

The past is shown by a console that gets the recorded contacts, beside the balls as they were, a thousand
times as fast as the clock; the machine of the present waits meanwhile. Only when something is done otherwise
does a machine with balls of its own do again what was done by hand, up to then.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from pathlib import Path

from firmware.base.errors import InlaneError
from hil.bench import contact_log
from hil.bench.targets.target import MachineStopped
from hil.bench.view import View
from hil.command.at_desk import DeskSetup, PlayedMachine
from hil.command.rerun import Deed, Pool, Replay, Rerun, Track, Version
from simulator.ball import Ball
from simulator.desk.inside import Inside

REACH_MS = 120_000  # how far back one can go
RERUN_LAGS_MS, RERUN_SLICE_MS = (
    (15_000, REACH_MS),
    24,
)  # balls of their own cost time
REPLAY_LAGS_MS, REPLAY_SLICE_MS = (REACH_MS, REACH_MS), 2000  # contacts alone cost little
SCRIPT = "played_{}.play"


class RecordedMachine:
    """A machine as simulator.desk.machine.DeskMachine and Past describe it. `switch_on` makes fresh ones."""

    def __init__(
        self, setup: DeskSetup, switch_on: Callable[[], PlayedMachine], seed: int, settings: dict[str, int]
    ) -> None:
        self._setup = setup
        self._switch_on = switch_on
        self._seed = seed
        self._settings = settings
        self._deeds: list[Deed] = []
        self._versions: list[Version] = []
        self._good_ms = 0  # up to here it ran without an error
        self._track = Track()
        self._live = self._fresh()
        self._shown: Replay | None = None
        self._reruns = Pool(self._fresh, RERUN_LAGS_MS, RERUN_SLICE_MS)
        self._replays = Pool(self._replay, REPLAY_LAGS_MS, REPLAY_SLICE_MS)
        self._track.add(0, self._live.machine.balls)

    # As any machine

    @property
    def machine(self) -> PlayedMachine:
        """The machine as it is, or as it was when the past is shown."""
        return self._shown or self._live.machine

    @property
    def title(self) -> str:
        """The game's name."""
        return self.machine.title

    @property
    def rolls(self) -> bool:
        """Whether its balls roll."""
        return self._live.machine.rolls

    @property
    def balls(self) -> Sequence[Ball]:
        """Every ball of the plant."""
        return self.machine.balls

    @property
    def view(self) -> View:
        """The machine as folded from its trace."""
        return self.machine.view

    @property
    def inside(self) -> Inside:
        """What the panels show of it."""
        return self.machine.inside

    @property
    def now(self) -> int:
        """Milliseconds since the machine was switched on."""
        return self.machine.now

    @property
    def balls_a_game(self) -> int:
        """The operator's setting `balls`."""
        return self.machine.balls_a_game

    def run_to(self, until_ms: int) -> None:
        """Let virtual time run to `until_ms`; what was recorded for it happens again."""
        if self._shown is not None:
            self._shown.run_to(min(until_ms, self.latest))
            if until_ms < self.latest:
                return
            self._shown = None
        try:
            self._live.run_to(until_ms)
        except MachineStopped:
            self._go_back()
            raise
        self._good_ms = self._live.now
        self._track.add(self.now, self.balls)

    def next_due(self) -> int | None:
        """When (ms) something is next due; None: never."""
        return self.machine.next_due()

    def switch(self, name: str, closed: bool) -> None:
        """Close or open a contact by hand."""
        self._do("switch", name, closed)

    def shoot(self, shot: str) -> None:
        """Start a shot with a waiting ball now. Raises ScriptError."""
        self._do("shoot", shot)

    def end_shot(self, shot: str) -> None:
        """The key of a shot is let go."""
        self._do("end_shot", shot)

    def nudge(self, direction: str) -> None:
        """Push the cabinet. Raises ScriptError."""
        self._do("nudge", direction)

    def tap_ms(self, name: str) -> int:
        """How long (ms) a tap must close this switch to be read."""
        return self.machine.tap_ms(name)

    def windows(self) -> list[tuple[str, int, bool]]:
        """Open windows: name, ms left, whether their time is frozen."""
        return self.machine.windows()

    def active(self, chart: str) -> Collection[str]:
        """The active states of a feature's chart."""
        return self.machine.active(chart)

    def places(self) -> dict[str, int]:
        """How many balls are in each place."""
        return self.machine.places()

    def log(self, seed: int, settings: dict[str, int], stopped: bool) -> contact_log.Run:
        """The run's contact changes for a log; ends the trace. A game that was changed has no one hash."""
        return self.machine.log(seed, settings, stopped or bool(self._versions))

    # The past

    @property
    def earliest(self) -> int:
        """The earliest time (ms) to go back to."""
        changed = self._versions[-1].ms if self._versions else 0
        return max(changed, self.latest - REACH_MS)

    @property
    def latest(self) -> int:
        """Up to which time (ms) something is recorded."""
        return self._live.now

    def go_to(self, ms: int) -> None:
        """Be where the machine was at this time, between `earliest` and `latest`."""
        ms = min(self.latest, max(self.earliest, ms))
        if ms == self.latest:
            self._shown = None
        elif self._shown is not None and ms >= self.now:
            self._shown.run_to(ms)
        else:
            self._shown = self._replays.take(ms)

    def tend(self, is_idle: bool) -> None:
        """Prepare for the next `go_to` and `cut`, a little in each frame; `is_idle`: it may take longer."""
        self._reruns.tend(self.latest, is_idle)
        self._replays.tend(self.latest, is_idle)
        self._track.keep(self.earliest, self.latest)

    def cut(self) -> None:
        """Forget what is recorded after now: a machine with balls of its own goes on from here."""
        now = self.now
        if now == self.latest:
            return
        self._deeds[:] = [deed for deed in self._deeds if deed.ms <= now]
        self._reruns.cut(now)
        self._live = self._reruns.take(now)
        self._shown = None
        self._replays = Pool(self._replay, REPLAY_LAGS_MS, REPLAY_SLICE_MS)
        self._track.keep(self.earliest, now)

    def closed(self) -> set[str]:
        """Contacts that the recorded hand holds closed now."""
        found: set[str] = set()
        for deed in self._deeds:
            if deed.method == "switch" and deed.ms <= self.now:
                name, is_closed = str(deed.arguments[0]), deed.arguments[1]
                found = found | {name} if is_closed else found - {name}
        return found

    def write_script(self, since_ms: int | None) -> str:
        """Write all contacts up to now as a script into this folder; a sentence for the player.

        `since_ms`: where the part begins that it is made for; a line `mark` is put there.
        """
        again = self._replay()
        again.run_to(self.now)
        path = _free(Path.cwd())
        try:
            run = again.log(self._seed, self._settings, stopped=bool(self._versions))
            contact_log.write(replace(run, mark_ms=since_ms), path)
        except InlaneError as error:
            return f"! {error}"
        other = "; rules changed meanwhile, so it may score otherwise" if self._versions else ""
        return f"script of {self.now / 1000:.1f} s written: {path}{other}"

    def _fresh(self) -> Rerun:
        return Rerun(self._switch_on(), self._deeds)

    def _replay(self) -> Replay:
        contacts = self._live.machine.contact_changes
        return Replay(self._setup, self._seed, self._settings, contacts, self._track, self._versions)

    # A changed game

    @property
    def is_serviced(self) -> bool:
        """Whether the operator's pages are open."""
        return self._live.machine.is_serviced

    def change(self, setup: DeskSetup) -> list[str]:
        """Go on as a changed game, from the time that is shown; what could not be kept.

        Nobody goes back beyond it. Raises GameError, and changes nothing, when it does not fit together.
        """
        self.cut()
        lost = self._live.machine.change(setup)
        self._deeds.append(Deed(self.now, "change", (setup,)))
        self._live.done = len(self._deeds)
        self._versions.append(Version(self.now, setup))
        self._good_ms = self.now
        self._replays = Pool(self._replay, (REACH_MS, REACH_MS), 2000)
        return lost

    def switch_on(self, setup: DeskSetup, make: Callable[[], PlayedMachine]) -> bool:
        """Be a machine of a changed game that was just switched on, and do again what was done by hand.

        False: that could not be done again, or was too long ago, and the machine is at its start.
        """
        now, self._setup, self._switch_on = self.now, setup, make
        self._deeds[:] = [deed for deed in self._deeds if deed.method != "change" and deed.ms <= now]
        self._versions.clear()
        self._shown = None
        self._reruns = Pool(self._fresh, (15_000, REACH_MS), 40)
        self._replays = Pool(self._replay, (REACH_MS, REACH_MS), 2000)
        self._live = self._fresh()
        self._track = Track()
        self._track.add(0, self._live.machine.balls)
        if now <= REACH_MS:
            try:
                self.run_to(now)
                return True
            except (MachineStopped, InlaneError):
                pass  # what was done no longer goes: the machine is switched on anew
        self._deeds.clear()
        self._live = self._fresh()
        self._good_ms = 0
        return False

    def _go_back(self) -> None:
        """An error stopped the machine: be where it was before, with what was done by hand up to then."""
        good = self._good_ms
        self._deeds[:] = [deed for deed in self._deeds if deed.ms <= good]
        self._reruns.cut(good)
        self._live = self._reruns.take(good)
        self._shown = None
        self._replays = Pool(self._replay, (REACH_MS, REACH_MS), 2000)

    def _do(self, method: str, *arguments: str | bool) -> None:
        """Do something by hand now, and record it. Raises what the machine raises, and records nothing."""
        self.cut()
        try:
            getattr(self._live.machine, method)(*arguments)
        except MachineStopped:
            self._good_ms = self.now
            self._go_back()
            raise
        self._deeds.append(Deed(self.now, method, arguments))
        self._live.done = len(self._deeds)


def _free(folder: Path) -> Path:
    number = 1
    while (folder / SCRIPT.format(number)).exists():
        number += 1
    return folder / SCRIPT.format(number)
