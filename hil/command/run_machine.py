"""A machine that runs on a target with its plant, as the desk sees it."""

from collections.abc import Sequence
from typing import Protocol

from firmware.base.errors import ScriptError
from hil.bench import run_clock
from hil.bench.contact_log import ContactChange, Run
from hil.bench.run_clock import RunClock
from hil.bench.scripts.grammar import EXTRA_MS
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.view import View
from hil.games import Game
from simulator.ball import Ball
from simulator.scheduler import Contacts


class DeskPlant(run_clock.Plant, Protocol):
    """Balls and mechanisms at the desk: simulator.plant.Plant, or a table on which balls roll."""

    balls: list[Ball]
    contacts: Contacts


class RunMachine:
    """The part of simulator.desk.machine.DeskMachine that clock and plant answer."""

    rolls = False

    def __init__(self, game: Game, clock: RunClock, plant: DeskPlant, vocabulary: Vocabulary) -> None:
        self.title = game.name
        self.balls: Sequence[Ball] = plant.balls
        self._clock = clock
        self._plant = plant
        self._debounce = vocabulary.debounce

    @property
    def view(self) -> View:
        """The machine as folded from its trace."""
        return self._clock.view

    @property
    def now(self) -> int:
        """Milliseconds since the machine was switched on."""
        return self._clock.now

    def run_to(self, until_ms: int) -> None:
        """Let virtual time run to `until_ms`."""
        self._clock.run_to(until_ms)

    def switch(self, name: str, closed: bool) -> None:
        """Close or open a contact by hand; one that a ball holds closed is left alone."""
        if closed or not self._plant.contacts.is_closed(name):  # a ball may rest on it
            self._clock.contact(name, closed)

    def tap_ms(self, name: str) -> int:
        """How long (ms) a tap must close this switch to be read."""
        closing_ms, _opening_ms = self._debounce[name]
        return closing_ms + EXTRA_MS

    def shoot(self, shot: str) -> None:
        """Start a shot with a waiting ball now. Raises ScriptError."""
        self._plant.shoot(shot, self.now)

    def end_shot(self, shot: str) -> None:
        """A whole shot goes on by itself."""

    def nudge(self, direction: str) -> None:
        """Raises ScriptError: whole shots are not pushed."""
        raise ScriptError("a nudge needs a ball that rolls; with --shots each key is a whole shot")

    @property
    def contact_changes(self) -> Sequence[ContactChange]:
        """Every change of a contact so far, by hand or by a ball."""
        return self._clock.contact_changes

    def log(self, seed: int, settings: dict[str, int], stopped: bool) -> Run:
        """The run's contact changes for a log; ends the trace. `stopped`: an error ended the run."""
        digest = "" if stopped else self._clock.finish()
        return Run(self.title, seed, self._clock.contact_changes, self.now, digest, settings)

    def places(self) -> dict[str, int]:
        """How many balls are in each place."""
        return self._plant.places()
