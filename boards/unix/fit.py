"""The unix board's side of the self-test at start."""

import time

from boards.unix.pins import PinBoard, clock_ms
from firmware.devices.self_test import Subject


class UnixSubject(Subject):
    """Fresh pins, this process's clock, and its own files: `found` reckons their sum."""

    def __init__(self, pins: PinBoard, names: "list[str]", told: bytes, found: "Callable[[], bytes]") -> None:
        self._pins = pins
        self._names = names
        self._told = told
        self._found = found

    def sum_told(self) -> bytes:
        return self._told

    def sum_found(self) -> bytes:
        return self._found()

    def stuck(self) -> "list[int]":
        return [coil for coil in range(len(self._names)) if self._pins.reads(coil)]

    def called(self, coil: int) -> str:
        return self._names[coil]

    def clock_ms(self) -> int:
        return clock_ms()

    def wait_us(self, ms: int) -> int:
        before = time.time_ns()
        time.sleep(ms / 1000)
        return (time.time_ns() - before) // 1000


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
