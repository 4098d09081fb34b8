"""What the desk needs of a running machine; the command line hands one in."""

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

from simulator.ball import Ball


class TraceEvent(Protocol):
    """Something that took no time: its `kind` is a word such as "coil", "award", "cue"."""

    @property
    def ms(self) -> int: ...
    @property
    def kind(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> int: ...


class CoilState(Protocol):
    """What a coil was last told, and when (ms)."""

    value: int
    since: int


class View(Protocol):
    """A machine folded from its trace."""

    lamps: dict[str, int]
    switches: dict[str, bool]
    states: dict[str, str]
    states_since: dict[str, int]
    cells: list[list[int]]
    scores: dict[int, int]
    players: int
    player: int
    ball: int
    playing: bool
    moves: list[tuple[int, int]]

    @property
    def coils(self) -> Mapping[str, CoilState]: ...
    @property
    def history(self) -> Sequence[TraceEvent]: ...


class DeskMachine(Protocol):
    """One running machine and its balls. Times are milliseconds since its start."""

    @property
    def title(self) -> str: ...
    @property
    def balls(self) -> Sequence[Ball]: ...
    @property
    def view(self) -> View: ...
    @property
    def now(self) -> int: ...
    @property
    def balls_a_game(self) -> int: ...

    def run_to(self, until_ms: int) -> None:
        """Let time run."""

    def next_due(self) -> int | None:
        """When something happens next; None: never."""

    def switch(self, name: str, closed: bool) -> None:
        """A hand closes or opens a contact now."""

    def tap_ms(self, name: str) -> int:
        """How long this contact must be closed to be read."""

    def shoot(self, shot: str) -> None:
        """A waiting ball makes this shot now. Raises ScriptError."""

    def windows(self) -> list[tuple[str, int, bool]]:
        """Open windows: name, ms left, whether they stand still."""

    def active(self, chart: str) -> Collection[str]:
        """The states a feature's chart is in, those that hold others among them."""

    def places(self) -> dict[str, int]:
        """How many balls each place holds."""
