"""The self-test at start: what must be shown before coils are energised for the first time.

The firmware is the one that was put there, no output is on that nobody switched on, and the clock that
ends pulses keeps time. A board calls `faults` once, everything off; with anything in the answer it never
enables coils, and shows it.
"""

from firmware.base import ticks

WAIT_MS = 50
LOOKS = 3  # a clock is wrong when each look finds it so: a busy machine may be late in one
OFF_BY = 10  # one part in so many that the clock may differ from the other time source,
EDGE_MS = 2  # and what may be lost at both ends

# Names for a fault log, short enough for a line of a display
STUCK = "coil_stuck_on"  # with the coil's number
CLOCK = "clock_wrong"
FIRMWARE = "firmware_changed"


class Subject:
    """What a board offers for its test; all outputs are off meanwhile."""

    def sum_told(self) -> bytes:
        """The sum of the files it should run, b"" when nobody told: then it is not tested."""
        return b""

    def sum_found(self) -> bytes:
        """The same sum, reckoned anew over the files it runs."""
        return b""

    def stuck(self) -> "list[int]":
        """Numbers of the coils whose outputs read back as on."""
        return []

    def called(self, coil: int) -> str:
        """What people call a coil's output."""
        raise NotImplementedError

    def clock_ms(self) -> int:
        """The clock that ends pulses: ticks of period 2^30."""
        raise NotImplementedError

    def wait_us(self, ms: int) -> int:
        """Wait about so long by another time source; the microseconds that it says have passed."""
        raise NotImplementedError


def faults(subject: Subject) -> "list[tuple[str, int, str]]":
    """What is wrong: name for the fault log, number, sentence; [] when the board is fit to drive coils.

    The outputs are looked at after the clock, when whatever was on before has let go.
    """
    wrong = []
    clock = _clock(subject)
    for _ in range(LOOKS - 1):
        clock = clock and _clock(subject)
    for coil in subject.stuck():
        wrong.append((STUCK, coil, f"output {subject.called(coil)} is on and nobody switched it on"))
    if clock:
        wrong.append((CLOCK, 0, clock))
    told = subject.sum_told()
    if told and subject.sum_found() != told:
        wrong.append((FIRMWARE, 0, "the firmware is not the one that was put here: its sum is another"))
    return wrong


def sentences(found: "list[tuple[str, int, str]]") -> str:
    """What `faults` found, as one reason for people; "" when that was nothing."""
    return "; ".join([each[2] for each in found])


def _clock(subject: Subject) -> str:
    before = subject.clock_ms()
    us = subject.wait_us(WAIT_MS)
    went = ticks.diff(subject.clock_ms(), before)
    if went == 0:
        return "the clock stands still"
    if abs(went * 1000 - us) > us // OFF_BY + EDGE_MS * 1000:
        return f"the clock went {went} ms while {us // 1000} ms passed"
    return ""
