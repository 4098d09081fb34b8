"""A played machine that can go back in time: a fresh one does again what was done by hand, up to that time.

Machines with one seed and the same hands agree in every record, and run a thousand times as fast as the
clock. Some that lag behind are kept ready, so that a short way is left to go.
"""

from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import NamedTuple

from firmware.base.errors import InlaneError
from hil.bench import contact_log
from hil.bench.view import View
from hil.command.at_desk import PlayedMachine
from simulator.ball import Ball
from simulator.desk.inside import Inside

REACH_MS = 120_000  # how far back one can go
LAGS_MS = (REACH_MS, 30_000)  # of the machines that are kept ready
SLICE_MS = 400  # that one of them runs on in a frame
SCRIPT = "played_{}.play"


class Deed(NamedTuple):
    """Something that was done by hand: the method of the machine, and its arguments."""

    ms: int
    method: str
    arguments: tuple[str | bool, ...]


class Rerun:
    """A machine that does recorded deeds at their times; `done`: how many of them it did."""

    def __init__(self, machine: PlayedMachine, deeds: Sequence[Deed]) -> None:
        self.machine = machine
        self.done = 0
        self._deeds = deeds

    def run_to(self, until_ms: int) -> None:
        """Run on, doing what was recorded up to then."""
        while self.done < len(self._deeds) and self._deeds[self.done].ms <= until_ms:
            deed = self._deeds[self.done]
            self.machine.run_to(deed.ms)
            getattr(self.machine, deed.method)(*deed.arguments)
            self.done += 1
        self.machine.run_to(until_ms)


class RecordedMachine:
    """A machine as simulator.desk.machine.DeskMachine and Past describe it. `switch_on` makes fresh ones."""

    def __init__(self, switch_on: Callable[[], PlayedMachine], seed: int, settings: dict[str, int]) -> None:
        self._switch_on = switch_on
        self._seed = seed
        self._settings = settings
        self._deeds: list[Deed] = []
        self._present = self._fresh()
        self._ready: list[Rerun] = []
        self._latest = 0

    # As any machine

    @property
    def machine(self) -> PlayedMachine:
        """The machine of the present; another one after `go_to`."""
        return self._present.machine

    @property
    def title(self) -> str:
        """The game's name."""
        return self.machine.title

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
        """Let virtual time run to `until_ms`; what was recorded for it is done again."""
        self._present.run_to(until_ms)
        self._latest = max(self._latest, self.now)

    def next_due(self) -> int | None:
        """When (ms) something is next due, a recorded deed included; None: never."""
        dues = [self.machine.next_due()]
        if self._present.done < len(self._deeds):
            dues.append(self._deeds[self._present.done].ms)
        return min((due for due in dues if due is not None), default=None)

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
        """The run's contact changes for a log; ends the trace."""
        return self.machine.log(seed, settings, stopped)

    # The past

    @property
    def earliest(self) -> int:
        """The earliest time (ms) to go back to."""
        return max(0, self._latest - REACH_MS)

    @property
    def latest(self) -> int:
        """Up to which time (ms) something is recorded."""
        return self._latest

    def go_to(self, ms: int) -> None:
        """Be where the machine was at this time, between `earliest` and `latest`."""
        ms = min(self._latest, max(self.earliest, ms))
        if ms < self.now:
            near = [one for one in self._ready if one.machine.now <= ms]
            self._present = max(near, key=lambda one: one.machine.now, default=None) or self._fresh()
            self._ready = [one for one in self._ready if one is not self._present]
        self._present.run_to(ms)

    def tend(self) -> None:
        """Let the machines that are kept ready run on a little, towards their lag behind the latest time."""
        if len(self._ready) < len(LAGS_MS):
            self._ready.append(self._fresh())
        for one, lag in zip(self._ready, LAGS_MS, strict=False):
            goal = min(self._latest - lag, one.machine.now + SLICE_MS)
            if goal > one.machine.now:
                one.run_to(goal)

    def cut(self) -> None:
        """Forget what is recorded after now."""
        del self._deeds[self._present.done :]
        self._latest = self.now
        self._ready = [one for one in self._ready if one.machine.now <= self.now]

    def closed(self) -> set[str]:
        """Contacts that the recorded hand holds closed now."""
        found: set[str] = set()
        for deed in self._deeds[: self._present.done]:
            if deed.method == "switch":
                name, is_closed = str(deed.arguments[0]), deed.arguments[1]
                found = found | {name} if is_closed else found - {name}
        return found

    def write_script(self) -> str:
        """Write all contacts up to now as a script into this folder; a sentence for the player."""
        again = self._fresh()
        again.run_to(self.now)
        path = _free(Path.cwd())
        try:
            contact_log.write(again.machine.log(self._seed, self._settings, stopped=False), path)
        except InlaneError as error:
            return f"! {error}"
        return f"script of {self.now / 1000:.1f} s written: {path}"

    def _fresh(self) -> Rerun:
        return Rerun(self._switch_on(), self._deeds)

    def _do(self, method: str, *arguments: str | bool) -> None:
        """Do something by hand now, and record it. Raises what the machine raises, and records nothing."""
        getattr(self.machine, method)(*arguments)
        self._deeds.insert(self._present.done, Deed(self.now, method, arguments))
        self._present.done += 1


def _free(folder: Path) -> Path:
    number = 1
    while (folder / SCRIPT.format(number)).exists():
        number += 1
    return folder / SCRIPT.format(number)
