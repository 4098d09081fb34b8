"""The self-test at start: what must be shown before coils are energised for the first time.

The firmware is unchanged, no output is on by itself, and the clock that ends pulses keeps time. A board calls
`find_faults` once, everything off; if it finds anything, the board never enables coils, and shows why.
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


class TestedBoard:
    """The board under test, by what its self-test reads; all outputs are off meanwhile."""

    def expected_sum(self) -> bytes:
        """Checksum of the firmware that should be there; b"": unknown, so it is not tested."""
        return b""

    def actual_sum(self) -> bytes:
        """The same checksum, computed over the firmware that runs."""
        return b""

    def stuck_coils(self) -> "list[int]":
        """Ids of the coils whose outputs read back as on."""
        return []

    def coil_name(self, coil: int) -> str:
        """The name of a coil's output for people."""
        raise NotImplementedError

    def clock_ms(self) -> int:
        """The clock that ends pulses: ticks of period 2^30."""
        raise NotImplementedError

    def wait_us(self, ms: int) -> int:
        """Wait about `ms` by another time source; the microseconds that passed by it."""
        raise NotImplementedError


def find_faults(subject: TestedBoard) -> "list[tuple[str, int, str]]":
    """The faults as (name for the fault log, number, sentence); [] when the board may drive coils.

    Outputs are read after the clock test, when whatever was on before has been released.
    """
    wrong = []
    clock = _clock(subject)
    for _ in range(LOOKS - 1):
        clock = clock and _clock(subject)
    for coil in subject.stuck_coils():
        wrong.append((STUCK, coil, f"output {subject.coil_name(coil)} is on and nobody switched it on"))
    if clock:
        wrong.append((CLOCK, 0, clock))
    expected = subject.expected_sum()
    if expected and subject.actual_sum() != expected:
        wrong.append((FIRMWARE, 0, "the firmware is not the one that was put here: its sum is another"))
    return wrong


def describe(found: "list[tuple[str, int, str]]") -> str:
    """The sentences of `find_faults` joined into one reason; "" when there are none."""
    return "; ".join([sentence for _name, _number, sentence in found])


def _clock(subject: TestedBoard) -> str:
    before = subject.clock_ms()
    us = subject.wait_us(WAIT_MS)
    went = ticks.diff(subject.clock_ms(), before)
    if went == 0:
        return "the clock stands still"
    if abs(went * 1000 - us) > us // OFF_BY + EDGE_MS * 1000:
        return f"the clock went {went} ms while {us // 1000} ms passed"
    return ""
