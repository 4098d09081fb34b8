"""The steps of a script as plain data: the grammar makes them, the session performs them."""

from dataclasses import dataclass, field

from hil.bench.scripts.conditions import Condition


@dataclass(frozen=True)
class Step:
    """One line: its number and its text without comment."""

    line: int
    text: str


@dataclass(frozen=True)
class Press(Step):
    """Close contacts, all in the same millisecond, and leave them closed."""

    switches: tuple[str, ...]


@dataclass(frozen=True)
class Release(Step):
    """Open contacts, all in the same millisecond."""

    switches: tuple[str, ...]


@dataclass(frozen=True)
class Tap(Step):
    """Close and open one switch after another; times are ms: closed, then open."""

    switches: tuple[str, ...]
    times: int
    rhythm: dict[str, tuple[int, int]]


@dataclass(frozen=True)
class Hold(Step):
    """Keep contacts closed together for a time."""

    switches: tuple[str, ...]
    for_ms: int


@dataclass(frozen=True)
class Wait(Step):
    """Let time run."""

    for_ms: int


@dataclass(frozen=True)
class Mark(Step):
    """Gains count from here."""


@dataclass(frozen=True)
class Shoot(Step):
    """Whole shots by the plant's balls, one after another."""

    shots: tuple[str, ...]
    options: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Start(Step):
    """Start a game for so many players and wait for the first ball at the plunger."""

    players: int


@dataclass(frozen=True)
class Launch(Step):
    """Pull the plunger so that the ball comes into play without closing a playfield switch."""


@dataclass(frozen=True)
class EndBall(Step):
    """Drain the ball and wait for the next one at the plunger, or for the end of the game."""


@dataclass(frozen=True)
class PowerOff(Step):
    """Switch the machine off, now or in the middle of its next save."""

    while_saving: bool = False


@dataclass(frozen=True)
class PowerOn(Step):
    """Switch the machine on again, with what it has kept."""


NOW, WITHIN, STAYS, AT_END = range(4)


@dataclass(frozen=True)
class Expect(Step):
    """A condition that must hold now, come true within a time, hold throughout one, or at its end."""

    condition: Condition
    when: int = NOW
    for_ms: int = 0
