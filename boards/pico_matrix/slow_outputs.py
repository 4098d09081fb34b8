"""What may wait: lamps, displays, cues. Done by the main loop, a piece a turn.

Displays are two of 16 characters, each on two HT16K33 (eight characters each, bits as in
firmware.devices.segments). A display that does not answer is left alone, and counted.
"""

from array import array

import machine

from boards.pico_matrix import pins
from boards.pico_matrix.rendering import render_cells, render_lamps
from firmware.devices.segments import SEGMENTS

CHIPS = (0x70, 0x71, 0x72, 0x73)
WAKE = (b"\x21", b"\x81", b"\xef")  # oscillator on, display on, full brightness
PARTS = 2  # chips a line
I2C_HZ = 400_000
I2C_US = 5000  # longest wait for a display
CUE_BAUD = 31_250
PHASES = (500, 200, 125)  # half periods of slow, fast and rapid, as firmware.devices.lamps has them


class SlowOutputs:
    """Outputs that no reflex needs."""

    def __init__(self, places: bytes, chips: "tuple[int, ...]" = CHIPS) -> None:
        self.at_frame: Pointed = 0
        self.chain: Chain | None = None  # in the matrix' place, when the lamps are on one
        self.unanswered = 0
        self._patterns: Pointed = bytearray(64)
        self._places = places
        self._phase = -1
        self._changed = True
        self._chips = chips
        self._image: Pointed = bytearray(17 * len(chips))
        self._parts = [memoryview(self._image)[i * 17 : i * 17 + 17] for i in range(len(chips))]
        self._glyphs: Pointed = array("H", SEGMENTS)
        self._stale = 0  # a bit a chip
        self._missing = 0
        self._line = 0  # whose turn it is
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
        for i in range(len(self._chips)):
            for command in WAKE:
                self._say(i, command)
        self._stale = (1 << len(self._chips)) - 1

    def lamp(self, lamp: int, pattern: int) -> None:
        """Show `pattern` from the next turn on."""
        self._patterns[self._places[lamp]] = pattern
        self._changed = True

    def text(self, chunk: int, cells: int) -> None:
        """Three cells of a line, as in a TEXT record."""
        self._stale |= render_cells(self._image, self._glyphs, chunk, cells)

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
            render_lamps(self._patterns, self.at_frame, 0)

    def turn(self, now: int) -> None:
        """A piece of work: lamps when a blink turns or one changed, and a whole line of the displays."""
        phase = (now // PHASES[0] & 1) | (now // PHASES[1] & 1) << 1 | (now // PHASES[2] & 1) << 2
        if self._changed or phase != self._phase:
            self._light(phase)
        stale = self._stale & ~self._missing
        if stale:
            line = self._line if stale >> self._line * PARTS & 3 else 1 - self._line
            self._line = 1 - line
            for chip in range(line * PARTS, line * PARTS + PARTS):
                if stale >> chip & 1:
                    self._stale &= ~(1 << chip)
                    self._say(chip, self._parts[chip])

    def _light(self, phase: int) -> None:
        lit = 3 | (7 ^ phase) << 2
        if not self.chain:
            render_lamps(self._patterns, self.at_frame, lit)
        elif not self.chain.show(self._patterns, lit):
            return
        self._changed = False
        self._phase = phase

    def _say(self, chip: int, data: "bytes | memoryview") -> None:
        try:
            self.i2c.writeto(self._chips[chip], data)
        except OSError:
            self.unanswered += 1
            self._missing |= 1 << chip


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.pico_matrix.chain import Chain
    from boards.pico_matrix.interfaces import Pointed
