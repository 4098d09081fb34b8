"""Machines that do again what was recorded: by hand, with balls and all, or contact by contact.

Machines with one seed and the same hands agree in every record, and so do those with the same contacts.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Generic, NamedTuple, TypeVar

from hil.bench.contact_log import ContactChange
from hil.bench.run_clock import RunClock
from hil.bench.view import View
from hil.command.at_desk import LONGEST_GAME_MS, DeskConsole, DeskSetup, PlayedMachine
from simulator.ball import Ball


class Deed(NamedTuple):
    """Something that was done by hand: the method of the machine, and its arguments."""

    ms: int
    method: str
    arguments: tuple[str | bool | DeskSetup, ...]


class Version(NamedTuple):
    """From this time on the machine is a changed game."""

    ms: int
    setup: DeskSetup


class Rerun:
    """A machine that does recorded deeds at their times; `done`: how many of them it did."""

    def __init__(self, machine: PlayedMachine, deeds: Sequence[Deed]) -> None:
        self.machine = machine
        self.done = 0
        self._deeds = deeds

    @property
    def now(self) -> int:
        """Milliseconds since it was switched on."""
        return self.machine.now

    def run_to(self, until_ms: int) -> None:
        """Run on, doing what was recorded up to then."""
        while self.done < len(self._deeds) and self._deeds[self.done].ms <= until_ms:
            deed = self._deeds[self.done]
            self.machine.run_to(deed.ms)
            getattr(self.machine, deed.method)(*deed.arguments)
            self.done += 1
        self.machine.run_to(until_ms)


class Track:
    """Where the balls were, time by time."""

    def __init__(self) -> None:
        self._times: list[int] = []
        self._balls: list[list[Ball]] = []

    def add(self, ms: int, balls: Sequence[Ball]) -> None:
        """The balls are like this at `ms`, which is later than before."""
        if not self._balls or self._balls[-1] != balls:
            self._times.append(ms)
            self._balls.append([replace(ball) for ball in balls])

    def at(self, ms: int) -> Sequence[Ball]:
        """The balls as they were at `ms`, or at the first time that is recorded."""
        return self._balls[max(0, bisect_right(self._times, ms) - 1)]

    def keep(self, first_ms: int, last_ms: int) -> None:
        """Forget what was before the first and after the last of these times."""
        first = max(0, bisect_right(self._times, first_ms) - 1)
        last = max(first + 1, bisect_right(self._times, last_ms))
        self._times, self._balls = self._times[first:last], self._balls[first:last]


class Replay(PlayedMachine):
    """A console that gets recorded contacts, beside the balls as they were; no plant moves."""

    def __init__(
        self,
        setup: DeskSetup,
        seed: int,
        settings: dict[str, int],
        contacts: Sequence[ContactChange],
        track: Track,
        versions: Sequence["Version"] = (),
    ) -> None:
        target = DeskConsole(setup.game)
        clock = RunClock(target, View(setup.vocabulary.names), None, LONGEST_GAME_MS)
        clock.start(seed, settings)
        super().__init__(setup.game, clock, target, setup.plant(seed, varied=False), setup.vocabulary)
        self._contacts = contacts
        self._fed = 0
        self._track = track
        self._versions = [*versions]
        self._feed()

    def run_to(self, until_ms: int) -> None:
        """Let virtual time run to `until_ms`, contact by contact."""
        while self._versions and self._versions[0].ms <= until_ms:
            version = self._versions.pop(0)
            self._run_contacts(version.ms)
            self.change(version.setup)
        self._run_contacts(until_ms)
        self.balls = self._track.at(self.now)

    def _run_contacts(self, until_ms: int) -> None:
        while self._fed < len(self._contacts) and self._contacts[self._fed].ms <= until_ms:
            self._clock.run_to(self._contacts[self._fed].ms)
            self._feed()
        self._clock.run_to(until_ms)

    def next_due(self) -> int | None:
        """When (ms) the console next has something to do, or a contact changes; None: never."""
        wait = self._target.console.due()
        dues = [self.now + wait] if wait >= 0 else []
        if self._fed < len(self._contacts):
            dues.append(self._contacts[self._fed].ms)
        return min(dues, default=None)

    def places(self) -> dict[str, int]:
        """How many balls were in each place."""
        count = dict.fromkeys(self._plant.places(), 0)
        for ball in self.balls:
            count[ball.place] = count.get(ball.place, 0) + 1
        return count

    def _feed(self) -> None:
        """The contacts of this millisecond."""
        while self._fed < len(self._contacts) and self._contacts[self._fed].ms <= self.now:
            change = self._contacts[self._fed]
            self._clock.contact(change.switch, change.closed)
            self._fed += 1


Machine = TypeVar("Machine", Rerun, Replay)


class Pool(Generic[Machine]):
    """Machines that lag behind, so that from one of them a time of the past is near.

    `lags_ms`: how far behind, the nearest first. `slice_ms`: how much one catches up in a frame.
    """

    def __init__(self, make: Callable[[], Machine], lags_ms: Sequence[int], slice_ms: int) -> None:
        self._make: Callable[[], Machine] = make
        self._lags = lags_ms
        self._slice = slice_ms
        self._ready: list[Machine] = []

    def tend(self, latest_ms: int, may_make: bool) -> None:
        """Let each catch up a little with its lag behind the latest time; `may_make`: one more is allowed."""
        if may_make and len(self._ready) < len(self._lags):
            self._ready.append(self._make())
        self._ready.sort(key=lambda one: -one.now)
        for one, lag in zip(self._ready, self._lags, strict=False):
            goal = min(latest_ms - lag, one.now + self._slice)
            if goal > one.now:
                one.run_to(goal)

    def take(self, ms: int) -> Machine:
        """One that is at this time: the nearest before it, or a fresh one, run on."""
        near = [one for one in self._ready if one.now <= ms]
        found = max(near, key=lambda one: one.now) if near else self._make()
        self._ready = [one for one in self._ready if one is not found]
        found.run_to(ms)
        return found

    def cut(self, ms: int) -> None:
        """Forget those that are later than this time."""
        self._ready = [one for one in self._ready if one.now <= ms]
