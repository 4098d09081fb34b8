"""Sets the chip's peripherals up, once: drive chain, held pair, converter, scan, lamp strobe.

`board` imports it when it is needed and lets it go again; what stays is what the functions give.
"""

from array import array

import machine
import rp2
import uctypes

from boards.pico_matrix import pins, programs
from boards.pico_matrix.chip import chip

HOLD_HZ = 1000  # common practice 0.5 to 1 kHz, no source
HOLD_PERCENT = 10  # common practice, no source: 50 V on 4 Ω held at 1.1 A
_PWM_7_TOP = 7 * 0x14 + 0x10
_WORD = 2  # a DMA transfer of four bytes
_RX0 = 4  # pace of PIO 0's first receiver
_TX4 = 8  # pace of PIO 1's first transmitter
_RXF0 = 0x50200020
_TXF4 = 0x50300010
_ROUND = 1 << 27  # transfers until the twin takes over: a multiple of both rings, below 2^28 for an RP2350


def drive_chain() -> "machine.SPI":
    """The SPI that shifts the drives out and reads them back."""
    return machine.SPI(
        0,
        baudrate=8_000_000,
        sck=machine.Pin(pins.DRIVE_CLOCK),
        mosi=machine.Pin(pins.DRIVE_DATA),
        miso=machine.Pin(pins.DRIVE_BACK),
    )


def held_pair() -> int:
    """Both held drives off; the level at which the callback is to hold them."""
    for pin in (pins.HOLD_A, pins.HOLD_B):
        machine.PWM(machine.Pin(pin), freq=HOLD_HZ, duty_u16=0)
    top: int = machine.mem32[chip.PWM + _PWM_7_TOP]
    return (top + 1) * HOLD_PERCENT // 100


def converter() -> None:
    """The converter on, its three pins given to it; the callback asks it from then on, and nobody else."""
    for pin in (pins.COIL_VOLTS, pins.LOGIC_VOLTS, pins.COIL_AMPERES):
        machine.ADC(machine.Pin(pin))


def scanner(at_words: int) -> "tuple[rp2.StateMachine, Channels]":
    """The scan, running into the ring at `at_words`: state machine, and DMA channels."""
    program = assembled(
        programs.SCAN_WORDS,
        programs.SCAN_WRAP,
        set_init=(rp2.PIO.OUT_LOW, rp2.PIO.OUT_LOW),
        sideset_init=(rp2.PIO.OUT_LOW, rp2.PIO.OUT_HIGH),
        autopush=True,
        push_thresh=24,
    )
    made = rp2.StateMachine(
        0,
        program,
        freq=programs.SCAN_HZ,
        set_base=machine.Pin(pins.COLUMN_CLOCK),
        sideset_base=machine.Pin(pins.SWITCH_CLOCK),
        in_base=machine.Pin(pins.SWITCH_DATA, machine.Pin.IN, machine.Pin.PULL_DOWN),
    )
    channels = endless(_RXF0, at_words, _RX0, 7, True)
    made.active(1)
    return made, channels


def strobe(at_frame: int) -> "tuple[rp2.StateMachine, Channels]":
    """The lamp strobe, running out of the frame at `at_frame`: state machine, and DMA channels."""
    program = assembled(
        programs.LAMPS_WORDS,
        programs.LAMPS_WRAP,
        out_init=(rp2.PIO.OUT_LOW,),
        sideset_init=(rp2.PIO.OUT_LOW, rp2.PIO.OUT_LOW, rp2.PIO.OUT_HIGH),
    )
    made = rp2.StateMachine(
        4,
        program,
        freq=programs.LAMP_HZ,
        out_base=machine.Pin(pins.LAMP_DATA),
        sideset_base=machine.Pin(pins.LAMP_CLOCK),
    )
    channels = endless(at_frame, _TXF4, _TX4, 5, False)
    made.active(1)
    return made, channels


def ring(size: int) -> "tuple[bytearray, int]":
    """Memory, and an address in it from which `size` bytes (a power of two) are aligned to their size."""
    memory = bytearray(size * 2)
    return memory, (uctypes.addressof(memory) + size - 1) & ~(size - 1)


def endless(source: int, target: int, pace: int, bits: int, to_ring: bool) -> "Channels":
    """Two channels that hand over to each other for ever; the ring is `1 << bits` bytes at its end."""
    one, two = channel(), channel()
    for each, other in ((two, one), (one, two)):
        control = each.pack_ctrl(
            size=_WORD,
            inc_read=not to_ring,
            inc_write=to_ring,
            ring_sel=to_ring,
            ring_size=bits,
            treq_sel=pace,
            chain_to=other.channel,
            irq_quiet=True,
        )
        each.config(read=source, write=target, count=_ROUND, ctrl=control, trigger=each is one)
    return one, two


def channel() -> "DmaChannel":
    """A DMA channel that is free."""
    free: Any = rp2.DMA()  # Any: the stubs know nothing of the number of its channel
    found: DmaChannel = free
    return found


def assembled(words: "tuple[int, ...]", wrap: int, **settings: "Any") -> "Program":
    """What `rp2.asm_pio` gives, made from words that are assembled already; `settings` are its own.

    Any: each of them has a kind of its own.
    """
    if "autopush" in settings:
        settings["in_shiftdir"] = rp2.PIO.SHIFT_LEFT
    else:
        settings["out_shiftdir"] = rp2.PIO.SHIFT_LEFT
    program: Program = rp2.asm_pio(**settings)(_nothing)
    execctrl = len(program) - 5  # the last five: execctrl, shiftctrl, out, set and side-set pins
    program[0] = array("H", words)
    program[execctrl] = wrap << 12
    return program


def _nothing() -> None:
    """A program of no instructions, whose words are put in afterwards."""
    wrap_target()
    nop()
    wrap()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, TypeAlias

    from rp2.asm_pio_rp2040 import nop, wrap, wrap_target

    from boards.pico_matrix.interfaces import DmaChannel, Program

    Channels: TypeAlias = "tuple[DmaChannel, DmaChannel]"
