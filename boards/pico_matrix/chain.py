"""A chain of addressable LEDs in the lamp matrix' place: one word an LED, sent whole by DMA.

The chain has no blanking of its own: when the program dies it stays lit as it was.
"""

import time

import machine
import micropython
import rp2
import uctypes

from boards.pico_matrix import pins, programs
from boards.pico_matrix.circuits import assembled, channel

TXF4 = 0x50300010
PACE = 8  # of PIO 1's first transmitter
WORD = 2  # a DMA transfer of four bytes
US_EACH = 30
GAP_MS = 2  # low for longer than 0.3 ms, which newer LEDs take for the end (mem), in whole ms


class Chain:
    """`colours`: green, red, blue of each place."""

    def __init__(self, colours: bytes) -> None:
        self._colours: Pointed = colours
        self._count = len(colours) // 3
        self._frame: Pointed = bytearray(self._count * 4)
        self._sent = 0
        self._wait = self._count * US_EACH // 1000 + 1 + GAP_MS
        self._dma = channel()
        self._control = self._dma.pack_ctrl(
            size=WORD, inc_read=True, inc_write=False, treq_sel=PACE, irq_quiet=True
        )
        program = assembled(
            programs.CHAIN_WORDS,
            programs.CHAIN_WRAP,
            sideset_init=(rp2.PIO.OUT_LOW,),
            autopull=True,
            pull_thresh=24,
        )
        self._machine = rp2.StateMachine(
            4, program, freq=programs.CHAIN_HZ, sideset_base=machine.Pin(pins.LAMP_DATA)
        )
        self._machine.active(1)

    def show(self, patterns: "Pointed", lit: int) -> bool:
        """Send what the patterns show; False while the frame before is on its way."""
        now = time.ticks_ms()
        if time.ticks_diff(now, self._sent) < self._wait:
            return False
        self._sent = now
        fill(self._frame, patterns, self._colours, self._count, lit)
        self._dma.config(
            read=uctypes.addressof(self._frame),
            write=TXF4,
            count=self._count,
            ctrl=self._control,
            trigger=True,
        )
        return True

    def dark(self, patterns: "Pointed") -> None:
        """All off, waiting until it is sent."""
        time.sleep_ms(self._wait)
        self.show(patterns, 0)
        time.sleep_ms(self._wait)

    def close(self) -> None:
        """No more data."""
        self._dma.active(0)
        self._machine.active(0)


@micropython.viper
def fill(frame: ptr32, patterns: ptr8, colours: ptr8, count: int, lit: int):
    """A word for each LED: its colour when bit n of `lit`, n its pattern, is set."""
    i = 0
    while i < count:
        word = 0
        pattern = patterns[i]
        if pattern:
            if (lit >> pattern) & 1:
                word = (colours[3 * i] << 24) | (colours[3 * i + 1] << 16) | (colours[3 * i + 2] << 8)
        frame[i] = word
        i += 1


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.pico_matrix.interfaces import Pointed
