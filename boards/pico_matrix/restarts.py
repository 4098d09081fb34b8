"""What survives a reset: how long the last starts lasted, whether a program was at work. And the watchdog.

The chip's watchdog scratch registers keep their values through every reset but a power cut. They are read and
written in place: as `machine.mem32` would take their addresses, each access allocates.
"""

import machine
import uctypes

from boards.pico_matrix.chip import chip

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_SET = 0x2000  # a write here sets bits of a register, one there clears them
_CLEAR = 0x3000
_ENABLE = 1 << 30
_MARK = 0x1A7E
_AT_WORK = 0x2B8F
_BY_TIMER = 1  # in REASON: the watchdog ran out, and nobody asked for the reset
WITHIN_MS = 60_000
REFUSAL = ("three_starts", 0, "three starts within a minute: the coil supply stays off")

_registers: "Any" = uctypes.struct(  # Any: its fields are made from the table below
    chip.WATCHDOG,
    {
        "load": 0x04 | uctypes.UINT32,
        "reason": 0x08 | uctypes.UINT32,
        "mark": 0x0C | uctypes.UINT32,
        "lasted": 0x10 | uctypes.UINT32,
        "before": 0x14 | uctypes.UINT32,
        "work": 0x18 | uctypes.UINT32,
    },
)


def record_boot() -> bool:
    """Record a start; whether it is the third within a minute."""
    r = _registers
    known = r.mark == _MARK
    lasted = min(r.lasted, WITHIN_MS) if known else WITHIN_MS
    before = min(r.before, WITHIN_MS) if known else WITHIN_MS
    if not known:
        r.work = 0
    r.mark = _MARK
    r.lasted = 0
    r.before = lasted
    return lasted + before < WITHIN_MS


def record_uptime(up_ms: int) -> None:
    """Record that this start has lasted for `up_ms`; allocates nothing."""
    _registers.lasted = up_ms if up_ms < WITHIN_MS else WITHIN_MS


def was_reset() -> bool:
    """Whether a reset from outside ended the program while it was at work. Ask after `record_boot`."""
    reset: bool = _registers.work == _AT_WORK and _registers.reason & _BY_TIMER == 0
    return reset


def stood_still() -> bool:
    """Whether the watchdog ended the program before this start. Ask after `record_boot`."""
    still: bool = _registers.work == _AT_WORK and _registers.reason & _BY_TIMER != 0
    return still


def begin_work() -> None:
    """From here on the watchdog resets the chip when it was not fed for 8 s.

    The callback feeds it while the rules are alive and nothing is wrong, `feed` does so elsewhere.
    """
    _registers.work = _AT_WORK
    feed()
    machine.mem32[chip.RESET_CHOICE] = chip.RESET_ALL  # 0 at power-up: the bite would reset nothing
    machine.mem32[chip.WATCHDOG + _SET] = _ENABLE


def end_work() -> None:
    """The program ends in an orderly way: a reset that follows is nobody's fault."""
    _registers.work = 0


def feed() -> None:
    """For where the callback does not feed it; allocates nothing."""
    _registers.load = chip.WATCHDOG_LOAD


def disable_watchdog() -> None:
    """Only for a person at MicroPython's prompt: see `shutdown`."""
    machine.mem32[chip.WATCHDOG + _CLEAR] = _ENABLE
