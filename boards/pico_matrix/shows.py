"""What may wait: lamps, displays, cues. Done by the main loop, a piece a turn.

Displays are two of 16 characters, each on two HT16K33 (eight characters each, bits as in
firmware.devices.segments). A display that does not answer is left alone, and counted.
"""

import machine
import micropython

from boards.pico_matrix import pins
from firmware.devices.segments import segments

CHIPS = (0x70, 0x71, 0x72, 0x73)
WAKE = (b"\x21", b"\x81", b"\xef")  # oscillator on, display on, full brightness
CHUNK = 3
LINE = 16
I2C_HZ = 400_000
I2C_US = 5000  # longest wait for a display
CUE_BAUD = 31_250
PHASES = (500, 200, 125)  # half periods of slow, fast and rapid, as firmware.devices.lamps has them


class Shows:
    """Outputs that no reflex needs."""

    def __init__(self, places: bytes) -> None:
        self.at_frame: Any = 0
        self.chain: Any = None  # in the matrix' place, when the lamps are on one
        self.unanswered = 0
        self._patterns: Any = bytearray(64)
        self._places = places
        self._phase = -1
        self._changed = True
        self._image = bytearray(17 * len(CHIPS))
        self._parts = [memoryview(self._image)[i * 17 : i * 17 + 17] for i in range(len(CHIPS))]
        self._stale = 0
        self._missing = 0
        self._cue = bytearray(1)
        self.i2c = machine.I2C(
            0,
            sda=machine.Pin(pins.DISPLAY_DATA),
            scl=machine.Pin(pins.DISPLAY_CLOCK),
            freq=I2C_HZ,
            timeout=I2C_US,
        )
        self._uart = machine.UART(0, CUE_BAUD, tx=machine.Pin(pins.CUE_TX), rx=machine.Pin(pins.CUE_RX))
        self.wake()

    def wake(self) -> None:
        """Switch the displays on, blank."""
        for i in range(len(CHIPS)):
            for command in WAKE:
                self._say(i, command)
        self._stale = 15

    def lamp(self, lamp: int, pattern: int) -> None:
        """Show `pattern` from the next turn on."""
        self._patterns[self._places[lamp]] = pattern
        self._changed = True

    def text(self, chunk: int, cells: int) -> None:
        """Three cells of a line, as in a TEXT record."""
        line, part = divmod(chunk, 8)
        for i in range(CHUNK):
            cell = part * CHUNK + i
            if cell < LINE:
                chip = line * 2 + (cell >> 3)
                at = chip * 17 + 1 + (cell & 7) * 2
                glyph = segments(cells >> (9 * i) & 0x1FF)
                self._image[at] = glyph & 0xFF
                self._image[at + 1] = glyph >> 8
                self._stale |= 1 << chip

    def cue(self, cue: int) -> None:
        """One byte, never waiting."""
        self._cue[0] = cue
        self._uart.write(self._cue)

    def dark(self) -> None:
        """All lamps off at once."""
        for i in range(len(self._patterns)):
            self._patterns[i] = 0
        self._changed = False
        if self.chain:
            self.chain.dark(self._patterns)
        else:
            paint(self._patterns, self.at_frame, 0)

    def turn(self, now: int) -> None:
        """A piece of work: lamps when a blink turns, else one display chip."""
        phase = (now // PHASES[0] & 1) | (now // PHASES[1] & 1) << 1 | (now // PHASES[2] & 1) << 2
        if self._changed or phase != self._phase:
            lit = 3 | (7 ^ phase) << 2
            if not self.chain:
                paint(self._patterns, self.at_frame, lit)
            elif not self.chain.show(self._patterns, lit):
                return
            self._changed = False
            self._phase = phase
        elif self._stale & ~self._missing:
            for i in range(len(CHIPS)):
                if (self._stale & ~self._missing) >> i & 1:
                    self._stale &= ~(1 << i)
                    self._say(i, self._parts[i])
                    return

    def _say(self, chip: int, data: "bytes | memoryview") -> None:
        try:
            self.i2c.writeto(CHIPS[chip], data)
        except OSError:
            self.unanswered += 1
            self._missing |= 1 << chip


@micropython.viper
def paint(patterns: ptr8, frame: ptr32, lit: int):
    """Patterns into eight words for the strobe; bit n of `lit` says whether pattern n shows now."""
    column = 0
    while column < 8:
        rows = 0
        row = 0
        while row < 8:
            pattern = patterns[column * 8 + row]
            if pattern:
                if (lit >> pattern) & 1:
                    rows |= 1 << row
            row += 1
        frame[column] = ((1 << (column + 8)) | rows) << 16
        column += 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
