"""What survives a reset: three starts within a minute keep the coil supply off; and the watchdog.

The chip's watchdog scratch registers keep their values through every reset but a power cut.
"""

import machine

_WATCHDOG = 0x40058000
_LOAD = 0x04
_SCRATCH = 0x0C
_LASTED = _WATCHDOG + _SCRATCH + 4  # added once: such addresses are too large for a small integer
_SET = 0x2000
_CLEAR = 0x3000
_ENABLE = 1 << 30
_LONGEST = 0xFFFFFF  # twice the microseconds: the counter runs twice as fast (RP2040-E1)
_MARK = 0x1A7E
WITHIN_MS = 60_000
REFUSAL = ("three_starts", 0, "three starts within a minute: the coil supply stays off")


def note() -> bool:
    """This is a start; whether it is the third within a minute."""
    mark = machine.mem32[_WATCHDOG + _SCRATCH] & 0xFFFF
    lasted = machine.mem32[_LASTED] & 0xFFFFFF if mark == _MARK else WITHIN_MS
    before = machine.mem32[_WATCHDOG + _SCRATCH + 8] & 0xFFFFFF if mark == _MARK else WITHIN_MS
    machine.mem32[_WATCHDOG + _SCRATCH] = _MARK
    machine.mem32[_LASTED] = 0
    machine.mem32[_WATCHDOG + _SCRATCH + 8] = lasted
    return lasted + before < WITHIN_MS


def lasting(up_ms: int) -> None:
    """This start has lasted for `up_ms`."""
    machine.mem32[_LASTED] = up_ms if up_ms < WITHIN_MS else WITHIN_MS


def watch(on: bool) -> None:
    """The watchdog resets the chip after 8 s without the callback's feed; off while a host is there."""
    if on:
        machine.mem32[_WATCHDOG + _LOAD] = _LONGEST
        machine.mem32[_WATCHDOG + _SET] = _ENABLE
    else:
        machine.mem32[_WATCHDOG + _CLEAR] = _ENABLE
