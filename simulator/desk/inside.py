"""Protocols of what the panels show of a machine's inside; the command line passes it in."""

from collections.abc import Collection, Sequence
from typing import NamedTuple, Protocol


class CoilHeat(NamedTuple):
    """A coil as its limiter has it: `heat` 0 to 1 of what it bears, 0 where it bears being on for ever."""

    name: str
    kind: str
    heat: float


class Input(NamedTuple):
    """A switch's place: `row` and `column` of the matrix from 1; row 0: an input of its own."""

    switch: str
    row: int
    column: int


class Held(NamedTuple):
    """A value of a feature, and in a word how long it lasts."""

    name: str
    value: int
    span: str


class Cause(NamedTuple):
    """What made an event: the chart row by its number in the trace (−1: none), and a sentence."""

    row: int
    words: str


class RuleWords(NamedTuple):
    """A rule of the game: its name in words, and its sentence of the rule card."""

    title: str
    sentence: str


class Inside(Protocol):
    """The inside of one machine."""

    @property
    def own(self) -> Collection[str]:
        """The features of the game itself; the others are the cabinet's."""

    @property
    def inputs(self) -> Sequence[Input]:
        """Where each switch is read."""

    @property
    def leds(self) -> Collection[str]:
        """Lamps that are LEDs, which neither warm nor cool."""

    def values(self) -> list[Held]:
        """Every value, in the order of declaration."""

    def heat(self) -> list[CoilHeat]:
        """Every coil, in the order of the wiring table."""

    def light(self) -> int:
        """The general light, 0 to 100."""

    def cause(self, at: int) -> Cause:
        """What made the event at this place of the history."""

    def rule_of(self, lamp: str) -> RuleWords | None:
        """The game's rule that lights a lamp, or that would; None: the cabinet alone does."""
