"""The Pico's own LED: so many blinks, then a pause, say what keeps the coils off.

The number is one of base.crash.KINDS; dark means that nothing is wrong. A Pico W has its LED elsewhere.
"""

import machine

GPIO = 25  # not brought out: not in the pin table
LIT_MS = 200
BLINK_MS = 500
PAUSE_MS = 1500


class StatusLed:
    """Shows one code after another; `update` as often as you like."""

    def __init__(self) -> None:
        self.code = 0
        self._on = False
        self._pin = machine.Pin(GPIO, machine.Pin.OUT, value=0)

    def update(self, now_ms: int) -> None:
        """On or off, as it is time."""
        on = lit(self.code, now_ms)
        if on != self._on:
            self._on = on
            self._pin.value(1 if on else 0)


def lit(code: int, now_ms: int) -> bool:
    """Whether the LED is lit at `now_ms` when it shows `code`."""
    if not code:
        return False
    at = now_ms % (code * BLINK_MS + PAUSE_MS)
    return at < code * BLINK_MS and at % BLINK_MS < LIT_MS
