"""The stand-in's circuits: rows that follow the columns by PIO and DMA, direct inputs, samples into a ring.

No code takes part in answering a column: a state machine makes an address of the eight column wires, one DMA
channel gives it to another, and that one copies a byte of the table of rows to a second state machine.
"""

from array import array

import machine
import rp2
import uctypes

from boards.pico_matrix.circuits import assembled, channel, endless
from boards.stand_in import pins, programs
from boards.stand_in.contacts import LEVELS, Contacts
from boards.stand_in.samples import Samples

RING_BITS = 14  # 16 KB: 2048 samples of two words, 512 ms
SAMPLES = (1 << RING_BITS) // 8
SAMPLE_BYTES = 8
COLUMNS_MACHINE = 0
ROWS_MACHINE = 1
SAMPLE_MACHINE = 2
_FIFO = 0x50200010  # of PIO 0: four transmitters, then four receivers
_RECEIVED = _FIFO + 0x10
_RX = 4  # pace of PIO 0's first receiver
_DMA = 0x50000000
_EACH = 0x40
_READ_AND_GO = 0x3C  # a channel's read address; writing it starts the channel
_BYTE = 0
_WORD = 2
_ROUND = 1 << 27
_PULL = 0x80A0  # PIO: pull block
_Y_FROM_OSR = 0xA047  # PIO: mov y, osr


class Hardware:
    """Made once. Every contact is open until `contacts` says otherwise and `show_direct` was called."""

    def __init__(self) -> None:
        dark = machine.Pin(pins.DIRECT_DARK, machine.Pin.OUT, value=1)
        self._latch = machine.Pin(pins.DIRECT_LATCH, machine.Pin.OUT, value=0)
        self._spi = machine.SPI(
            0, baudrate=1_000_000, sck=machine.Pin(pins.DIRECT_CLOCK), mosi=machine.Pin(pins.DIRECT_DATA)
        )
        self._word = bytearray(2)
        self.contacts = Contacts(*_aligned(LEVELS))
        self.show_direct()
        dark.value(0)
        self._matrix = matrix(uctypes.addressof(self.contacts.rows) + self.contacts.first)
        self._ring = array("i", bytearray(2 << RING_BITS))
        self._start = (uctypes.addressof(self._ring) + (1 << RING_BITS) - 1) & ~((1 << RING_BITS) - 1)
        first = (self._start - uctypes.addressof(self._ring)) // 4
        self.samples = Samples(self._ring, first, SAMPLES)
        self._sampler, self._dma = sampler(self._start)

    def show_direct(self) -> None:
        """Put the word of direct inputs out."""
        self._word[0] = self.contacts.direct >> 8
        self._word[1] = self.contacts.direct & 0xFF
        self._spi.write(self._word)
        self._latch.value(1)
        self._latch.value(0)

    def look(self) -> None:
        """Look at the samples that have come."""
        one, two = self._dma
        at = one.write if one.active() else two.write
        self.samples.look((at - self._start) % (1 << RING_BITS) // SAMPLE_BYTES)

    def open_all(self) -> None:
        """Every contact open."""
        self.contacts.open_all()
        self.show_direct()


def _aligned(size: int) -> "tuple[bytearray, int]":
    """Memory, and the place in it from which `size` bytes (a power of two) are aligned to their size."""
    memory = bytearray(2 * size)
    return memory, -uctypes.addressof(memory) % size


def matrix(table: int) -> "tuple[object, ...]":
    """Rows follow columns by the table at `table`, a multiple of 256; what must not be freed."""
    columns = rp2.StateMachine(
        COLUMNS_MACHINE,
        assembled(programs.COLUMNS_WORDS, programs.COLUMNS_WRAP, autopush=False),
        freq=programs.COLUMNS_HZ,
        in_base=_inputs(pins.COLUMNS_AT, pins.COLUMNS),
    )
    rows = rp2.StateMachine(
        ROWS_MACHINE,
        assembled(
            programs.ROWS_WORDS, programs.ROWS_WRAP, out_init=(rp2.PIO.OUT_LOW,) * pins.ROWS, pull_thresh=32
        ),
        freq=programs.ROWS_HZ,
        out_base=machine.Pin(pins.ROWS_AT),
    )
    copier = channel()
    copier.config(
        read=table,
        write=_FIFO + 4 * ROWS_MACHINE,
        count=1,
        ctrl=copier.pack_ctrl(size=_BYTE, inc_read=False, inc_write=False, irq_quiet=True),
        trigger=False,
    )
    channels = _forever(
        _RECEIVED + 4 * COLUMNS_MACHINE, _DMA + _EACH * copier.channel + _READ_AND_GO, _RX + COLUMNS_MACHINE
    )
    rows.active(1)
    columns.put(table >> 8)
    columns.exec(_PULL)
    columns.exec(_Y_FROM_OSR)
    columns.active(1)
    return columns, rows, copier, channels


def _inputs(first: int, count: int) -> "machine.Pin":
    """Pins pulled up, as open column wires are high; the first of them."""
    made = [machine.Pin(first + i, machine.Pin.IN, machine.Pin.PULL_UP) for i in range(count)]
    return made[0]


def _forever(source: int, target: int, pace: int) -> "tuple[DmaChannel, DmaChannel]":
    """Two channels that hand over to each other, from one address to one address."""
    one, two = channel(), channel()
    for each, other in ((two, one), (one, two)):
        control = each.pack_ctrl(
            size=_WORD,
            inc_read=False,
            inc_write=False,
            treq_sel=pace,
            chain_to=other.channel,
            irq_quiet=True,
        )
        each.config(read=source, write=target, count=_ROUND, ctrl=control, trigger=each is one)
    return one, two


def sampler(at_words: int) -> "tuple[object, tuple[WritingChannel, WritingChannel]]":
    """Samples run into the ring at this address, which is a multiple of its size: machine and channels."""
    made = rp2.StateMachine(
        SAMPLE_MACHINE,
        assembled(
            programs.SAMPLE_WORDS,
            programs.SAMPLE_WRAP,
            sideset_init=(rp2.PIO.OUT_LOW, rp2.PIO.OUT_HIGH),
            autopush=False,
        ),
        freq=programs.SAMPLE_HZ,
        sideset_base=machine.Pin(pins.SAMPLE_CLOCK),
        in_base=machine.Pin(pins.SAMPLE_DATA, machine.Pin.IN, machine.Pin.PULL_DOWN),
    )
    channels: Any = endless(
        _RECEIVED + 4 * SAMPLE_MACHINE, at_words, _RX + SAMPLE_MACHINE, RING_BITS, True
    )  # Any: the same channels, of which more is used here
    made.active(1)
    return made, channels


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from boards.pico_matrix.interfaces import DmaChannel
    from boards.stand_in.interfaces import WritingChannel
