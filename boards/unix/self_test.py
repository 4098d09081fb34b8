"""The unix board's side of the self-test at start."""

import time

from boards.unix.pins import PinBoard, clock_ms
from firmware.devices.self_test import TestedBoard


class UnixTestedBoard(TestedBoard):
    """Fresh pins, this process's clock and its own files, whose sum `found` computes."""

    def __init__(
        self, pins: PinBoard, names: "tuple[str, ...]", told: bytes, found: "Callable[[], bytes]"
    ) -> None:
        self._pins = pins
        self._names = names
        self._told = told
        self._found = found

    def expected_sum(self) -> bytes:
        """SHA-256 given with --files, b"" without it."""
        return self._told

    def actual_sum(self) -> bytes:
        """SHA-256 of this process's files."""
        return self._found()

    def stuck_coils(self) -> "list[int]":
        """Coils whose pins read as on."""
        return [coil for coil in range(len(self._names)) if self._pins.reads(coil)]

    def coil_name(self, coil: int) -> str:
        """Its name in the wiring."""
        return self._names[coil]

    def clock_ms(self) -> int:
        """The clock of the pins (ms, period 2^30)."""
        return clock_ms()

    def wait_us(self, ms: int) -> int:
        """Sleep `ms`; the microseconds that passed by time_ns."""
        before = time.time_ns()
        time.sleep(ms / 1000)
        return (time.time_ns() - before) // 1000


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
