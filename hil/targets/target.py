"""Where a script runs: in process, in a MicroPython process, on a board."""

from typing import Protocol

from firmware.base.trace import COIL

ON_COIL = 1 << COIL  # the records that always end `Target.advance` early: the plant must answer


class Target(Protocol):
    """One machine in the hands of the bench. Every call may raise LinkError: the run is INVALID.

    Time is milliseconds since `start`. A lock-step target moves only when it is told to.
    """

    name: str

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """A fresh console at time 0."""

    def contact(self, switch: int, closed: bool) -> None:
        """A raw contact change at the present time."""

    def advance(self, until_ms: int) -> int:
        """Let time run to `until_ms`; the time reached.

        Stops early right after a millisecond that made a COIL record, so that the plant can answer.
        """

    def records(self) -> bytes:
        """The trace records since the last call, whole multiples of 12 bytes."""

    def finish(self) -> bytes:
        """The machine's own SHA-256 over its whole trace, which ends here."""

    def close(self) -> None:
        """Leave the machine with everything off; never raises."""


class MachineStopped(Exception):
    """The firmware itself raised while it ran: the script FAILs, and the text says what and where."""
