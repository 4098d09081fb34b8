"""Protocols of what the desk needs of a running machine; the command line passes one in."""

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

from simulator.ball import Ball
from simulator.desk.inside import Inside


class TraceEvent(Protocol):
    """An entry of the machine's history: an instantaneous event, such as an award or a coil command."""

    @property
    def ms(self) -> int:
        """When it happened."""

    @property
    def kind(self) -> str:
        """A word such as "coil", "award", "cue"."""

    @property
    def name(self) -> str:
        """The coil, award or cue."""

    @property
    def value(self) -> int:
        """As in the trace record of its kind."""


class CoilState(Protocol):
    """The last command to a coil: `value` as in a COIL record, `since` in ms."""

    value: int
    since: int


class View(Protocol):
    """The state of a machine, folded from its trace."""

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
    def coils(self) -> Mapping[str, CoilState]:
        """The last command of each coil, by name."""

    @property
    def history(self) -> Sequence[TraceEvent]:
        """Everything that took no time, in order."""


class DeskMachine(Protocol):
    """One running machine and its balls. Times are milliseconds since its start."""

    @property
    def title(self) -> str:
        """The game's name."""

    @property
    def rolls(self) -> bool:
        """Whether its balls roll; otherwise each key is a whole shot."""

    @property
    def balls(self) -> Sequence[Ball]:
        """Every ball of the plant."""

    @property
    def view(self) -> View:
        """The machine as its trace shows it."""

    @property
    def inside(self) -> Inside:
        """What the panels show of it."""

    @property
    def now(self) -> int:
        """Milliseconds since its start."""

    @property
    def balls_a_game(self) -> int:
        """How many balls each player gets."""

    def run_to(self, until_ms: int) -> None:
        """Let time run."""

    def next_due(self) -> int | None:
        """When (ms) something is next due; None: never."""

    def switch(self, name: str, closed: bool) -> None:
        """Close or open a contact by hand now."""

    def tap_ms(self, name: str) -> int:
        """How long (ms) this contact must be closed to be read."""

    def shoot(self, shot: str) -> None:
        """Start this shot with a waiting ball; where balls roll, pull the plunger. Raises ScriptError."""

    def end_shot(self, shot: str) -> None:
        """The key of a shot is let go; where balls roll, so is the plunger."""

    def nudge(self, direction: str) -> None:
        """Push the cabinet: "left", "right" or "up". Raises ScriptError where balls do not roll."""

    def windows(self) -> list[tuple[str, int, bool]]:
        """Open windows: name, ms left, whether their time is frozen."""

    def active(self, chart: str) -> Collection[str]:
        """The active states of a feature's chart, holders included."""

    def places(self) -> dict[str, int]:
        """How many balls each place holds."""


class Past(Protocol):
    """The recorded time of a machine, which can go back to any of it and on from there.

    After `go_to` it is the same machine, with another view; what was recorded happens again while time
    runs on, until a contact or a shot by hand takes the place of the rest.
    """

    @property
    def now(self) -> int:
        """Where in time the machine is, in ms."""

    @property
    def earliest(self) -> int:
        """The earliest time (ms) to which `go_to` may go."""

    @property
    def latest(self) -> int:
        """Up to which time (ms) something is recorded; later than `now` after going back."""

    def go_to(self, ms: int) -> None:
        """Be where the machine was at this time."""

    def tend(self, is_idle: bool) -> None:
        """Prepare for the next `go_to`, a little in each frame; `is_idle`: it may take longer."""

    def cut(self) -> None:
        """Forget what is recorded after now."""

    def closed(self) -> set[str]:
        """Contacts that the recorded hand holds closed now."""

    def write_script(self, since_ms: int | None) -> str:
        """Write everything up to now as a switch script; a sentence for the player.

        `since_ms`: where the part begins that it is made for.
        """
