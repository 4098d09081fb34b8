"""Simulated pins: coil enable, one drive a coil, one lamp each; every change a line in a text log.

A line reads `MICROSECONDS NAME LEVEL`, by the wall clock: `enable 1`, `drive.12 0`, `lamp.3 2`, and
`off REASON` when everything was switched off.
"""

import time
from array import array

from firmware.base import ticks
from firmware.board import Board


def clock_ms() -> int:
    """The board's clock: milliseconds, wrapping at 2^30."""
    if hasattr(time, "ticks_ms"):
        now: int = time.ticks_ms()
        return now & ticks.MASK
    return time.monotonic_ns() // 1_000_000 & ticks.MASK


class PinBoard(Board):
    """Outputs of one run. All are off at first, and for good after `all_off`."""

    def __init__(self, wiring: "Wiring", log: "PinLog | None") -> None:
        self.reason = ""
        self.enabled = False
        self.drives = bytearray(len(wiring.COILS))
        self.lamps = bytearray(len(wiring.LAMPS))
        self.unlogged = 0
        self._told = False
        self._longest = array("i", [longest for _name, _kind, _pulse, longest, _rest, _drive in wiring.COILS])
        self._ends = array("i", [0] * len(wiring.COILS))
        self._timed = bytearray(len(wiring.COILS))
        self._log = log

    def enable(self, on: bool) -> None:
        """Coil enable; refused once everything was switched off."""
        if on and not self.reason and not self.enabled:
            self.enabled = True
            self._say("enable", 1)
        elif not on and self.enabled:
            self._release_all()

    def pulse(self, coil: int, ms: int) -> None:
        """Drive for `ms`, or for the coil's longest on-time when that is shorter."""
        longest = self._longest[coil]
        self._drive(coil, ms if not longest or ms < longest else longest)

    def hold(self, coil: int) -> None:
        """Drive until `release`, or for the coil's longest on-time when it has one."""
        self._drive(coil, self._longest[coil])

    def release(self, coil: int) -> None:
        """Stop driving now."""
        if self.drives[coil]:
            self.drives[coil] = 0
            self._say("drive", 0, coil)

    def reads(self, coil: int) -> bool:
        """Whether the drive's pin reads back as on."""
        return self.drives[coil] != 0

    def lamp(self, lamp: int, pattern: int) -> None:
        """Show `pattern`."""
        if not self.reason and self.lamps[lamp] != pattern:
            self.lamps[lamp] = pattern
            self._say("lamp", pattern, lamp)

    def tick(self, now_ms: int) -> None:
        """End the pulses that are over; the main loop calls this at least every few milliseconds."""
        for coil in range(len(self.drives)):
            if self.drives[coil] and self._timed[coil] and ticks.diff(now_ms, self._ends[coil]) >= 0:
                self.release(coil)

    def all_off(self, reason: str) -> None:
        """Everything off; cannot fail, since a log that cannot be written is only counted.

        Once more finishes what an interrupt cut short; the first reason stays.
        """
        if not self.reason:
            self.reason = reason
        self._release_all()
        for lamp in range(len(self.lamps)):
            if self.lamps[lamp]:
                self.lamps[lamp] = 0
                self._say("lamp", 0, lamp)
        if not self._told:
            self._told = True
            self._say("off", self.reason)

    def _drive(self, coil: int, ms: int) -> None:
        """Drive `coil`, for `ms` when that is above 0. Without enable the pin stays low."""
        if self.reason or not self.enabled:
            return
        self._timed[coil] = 1 if ms else 0
        self._ends[coil] = ticks.add(clock_ms(), ms)
        if not self.drives[coil]:
            self.drives[coil] = 1
            self._say("drive", 1, coil)

    def _release_all(self) -> None:
        """Enable first: the one pin that all coils hang on."""
        if self.enabled:
            self.enabled = False
            self._say("enable", 0)
        for coil in range(len(self.drives)):
            self.release(coil)

    def _say(self, name: str, level: "int | str", number: int = -1) -> None:
        """A line of the log. Put together in here, so that a full heap stops no switching off."""
        if self._log:
            try:
                place = f"{name}.{number}" if number >= 0 else name
                self._log.write(f"{time.time_ns() // 1000} {place} {level}\n")
            except OSError:
                self.unlogged += 1
            except MemoryError:  # on its own: a pair of classes would have to be allocated
                self.unlogged += 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    from firmware.devices.wiring import Wiring

    class PinLog(Protocol):
        """Where changes of pins are written."""

        def write(self, __words: str) -> object:
            """Write a line. Raises OSError."""
