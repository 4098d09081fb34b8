"""The protocol of a target, and the error of a firmware that stopped."""

from pathlib import Path
from typing import Protocol, runtime_checkable


class Target(Protocol):
    """One machine that the bench drives. Every call may raise LinkError, which makes the run INVALID.

    Times are milliseconds since `start`. The time of a lock-step target advances in `advance` only.
    """

    name: str

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start a fresh console at time 0."""

    def contact(self, switch: int, closed: bool) -> None:
        """Change a raw contact at the present time."""

    def advance(self, until_ms: int) -> int:
        """Run to `until_ms`; returns the time reached.

        Stops early after a millisecond that made a COIL record, so that the plant can react.
        """

    def records(self) -> bytes:
        """The trace records since the last call, whole multiples of 12 bytes."""

    def finish(self) -> bytes:
        """The machine's own SHA-256 over its whole trace, which ends here."""

    def close(self) -> None:
        """Leave the machine with everything off; never raises."""


@runtime_checkable
class InspectedTarget(Target, Protocol):
    """A target that says what windows and values hold at the present time; nothing is changed by that."""

    def windows(self) -> list[int]:
        """Of each window (`Names.windows`) the ms left; 0: closed, negative: it stands still."""

    def values(self) -> list[int]:
        """Every value, in the order of `Names.values`; those of a player are the playing player's."""


@runtime_checkable
class GuardedTarget(Target, Protocol):
    """A target that can record what guards answer."""

    records_guards: bool

    def asked(self) -> list[tuple[int, tuple[int, bool]]]:
        """Each answer since the last start: when (ms since then), the number of its row, what it was."""


@runtime_checkable
class PoweredTarget(Target, Protocol):
    """A target whose power the bench can switch: each `start` after the first is a power-on."""

    def keep(self, file: Path | None) -> None:
        """From the next start on, what the machine keeps is in `file`; None: nothing is kept.

        Raises LinkError when this target's power cannot be switched.
        """


class MachineStopped(Exception):
    """The firmware raised an exception: the script FAILs. The text has the exception and its place.

    `at_ms`: when, in ms since the machine's start; None when the target does not know.
    """

    def __init__(self, text: str, at_ms: int | None = None) -> None:
        super().__init__(text)
        self.at_ms = at_ms
