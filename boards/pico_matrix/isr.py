"""The callback of the 1 kHz timer: scan, senses, reflexes, limits, drive chain, guard feed, in this order.

The guard is fed by the last statement, after every check has passed; nothing else ever writes to
its pin. Whatever is wrong becomes a fault: from then on zeros are shifted out and the feed stops,
so that the one-shot drops the enable even if the zeros do not arrive.

It runs on the stack of what it interrupts, so it is flat: `control_isr` calls one function after the other,
and none of those calls another.
"""

from array import array

import micropython
from micropython import const

from boards.pico_matrix.chip import chip
from firmware.devices.native.limiter import ALL_KICKS, advance, contact, serve
from firmware.devices.native.scanner import scan
from firmware.devices.native.senses import sense

# The board's own cells
NOW = const(0)
FAULT = const(1)
ENABLED = const(2)
SENT = const(3)  # what the drive chain should hold
VERIFIED = const(4)  # times in a row that it did
COUNTED = const(5)  # the scan's DMA counter as last seen
QUIET = const(6)  # ms until the first coil may be driven
ALIVE = const(7)  # ms since the rules were heard of
DRAINS = const(8)  # read-backs of drives 1 … 16, high is off
AT_SENSES = const(9)  # addresses: state of the senses,
FEEDS = const(10)  # whether the last turn fed the guard
HOLD_LEVEL = const(11)  # PWM level of a held drive
SUPPLY_ON = const(12)  # the relay's one-shot is fed
AT_LIMITER = const(13)  # state of the limiter,
AT_SCAN = const(14)  # of the scan,
AT_WORDS = const(15)  # the ring that the scan's DMA writes,
AT_GROUPS = const(16)
CHANNEL = const(17)  # registers of the scan's DMA channel
FED = const(18)  # changes of the guard feed
UP = const(19)  # ms since start
CHANNEL_TWO = const(20)  # its twin, which takes over from it
AT_CHANGES = const(21)  # and single cells: the scan's changes,
AT_WITHHELD = const(22)  # what the senses withhold the coils for,
AT_BLOCKED = const(23)  # the drives that they gave up,
AT_LEASE_END = const(24)  # the end of the reflexes' lease
NO_FEED = const(25)  # what of WITHHELD stops the feeds
CONVERTED = const(26)  # place in the converter's round: coil bus, amperes, coil bus, logic
BUS_MV = const(27)
LOGIC_MV = const(28)
DRAWN_MA = const(29)
DRAWN_BY = const(30)  # the drives that were on then
SENT_BEFORE = const(31)
AT_REGISTERS = const(32)  # address of `registers`
CLOCK_US = const(33)  # the chip's timer when the present window began,
CLOCK_TURNS = const(34)  # and turns since then
COIL_FULL_MV = const(35)  # coil bus,
LOGIC_FULL_MV = const(36)  # 5 V rail
FULL_MA = const(37)  # and coil current at which the converter would say 4096
CELLS = const(38)

FAULTS = (
    "",
    "the scan lost its place",
    "the scan stands still",
    "the drive chain reads back wrong",
    "the callback raised an error",
    "the rules fell silent",
    "the drive chain does not answer",
    "a drive is stuck on",
    "the coil enable stays on without its feed",
    "coil current flows that nobody asked for",
    "the callback does not keep time with the chip's timer",
    "the coil bus has more than 15 V before door, feed wire and reset were tried",
)
TOO_HIGH = const(11)  # found by the board's bring-up
SENSED = const(6)  # the senses' faults follow: LOCKED_ON, ENABLE_STUCK, OVERDRAWN
STUCK_ON = const(7)

_LOST_PLACE = const(1)
_STANDS_STILL = const(2)
_READS_WRONG = const(3)
_RAISED = const(4)
_SILENT = const(5)
_NO_ANSWER = const(6)
_OFF_TIME = const(10)

_MASK = const(0x3FFFFFFF)
_ALL = const(0xFFFFFF)
_SILENT_MS = const(2000)
_NEEDED = const(2)
_WINDOW = const(64)  # turns over which the callback is compared with the chip's timer,
_WINDOW_LEAST_US = const(57_600)  # and what they may take: 10 % either way,
_WINDOW_MOST_US = const(70_400)  # less than the 8 ms after which the guard drops an unfed enable
_LATCH = const(1 << 17)
_FEED = const(1 << 11)
_GUARD_STATE = const(1 << 12)
_SUPPLY_FEED = const(1 << 13)
_INTERLOCK = const(1 << 10)

_CONVERT = const(5)  # converter on, start once; the channel from bit 12 on
_CONVERTED = const(0x100)

# The chip's registers, by their place in `registers`
_ADC = const(0)
_SPI = const(1)
_HELD = const(2)  # level of both held drives
_SET = const(3)  # pins: a bit makes one high,
_CLEAR = const(4)  # low,
_FLIP = const(5)  # the other
_WATCHDOG = const(6)
_LOAD = const(7)  # what it is fed with
_TIMER = const(8)  # the low word of its microseconds

registers: "Pointed" = array(
    "i",
    (
        chip.ADC,
        chip.SPI0,
        chip.PWM + 0x98,  # slice 7
        chip.GPIO_SET - (1 << 32),  # a cell has a sign
        chip.GPIO_CLEAR - (1 << 32),
        chip.GPIO_FLIP - (1 << 32),
        chip.WATCHDOG + 4,
        chip.WATCHDOG_LOAD,
        chip.TIMER_LOW,
    ),
)
bound: "Any" = None  # all that the callback calls: one look-up in place of ten; Any: viper unpacks it


def bind_state(cells: "array[int]") -> None:
    """The board's own cells, from now on."""
    global bound
    bound = (cells, ALL_KICKS, gather, watch_clock, sense, advance, serve, scan, contact, drive, feed)


@micropython.viper
def control_isr(timer):
    """What the timer calls; after an error that it let through it would not be called again."""
    cells, all_kicks, gather, watch_clock, sense, advance, serve, scan, contact, drive, feed = bound
    b = ptr32(cells)
    try:
        now = (b[NOW] + 1) & _MASK
        b[NOW] = now
        if b[UP] < _MASK:
            b[UP] += 1
        gather(b)
        watch_clock(b)
        pins = ptr32(0xD0000000)[1]
        enabled = 0 if pins & _GUARD_STATE else 1
        shut = 0 if pins & _INTERLOCK else 1
        found = int(sense(ptr32(b[AT_SENSES]), b[DRAINS], b[SENT], b[FEEDS], enabled, shut, b[BUS_MV]))
        if b[ALIVE] < _MASK:
            b[ALIVE] += 1
        if b[FAULT] == 0:
            if found:
                b[FAULT] = SENSED + found
            elif b[ENABLED] != 0 and b[ALIVE] > _SILENT_MS:
                b[FAULT] = _SILENT
        if ptr32(b[AT_WITHHELD])[0]:
            ptr32(b[AT_LEASE_END])[0] = now  # while coils are withheld no lease runs
        drives = 0
        if b[FAULT] == 0:
            a = ptr32(b[AT_LIMITER])
            advance(a, all_kicks, now)
            drives = int(serve(a, now))
            changes = ptr32(b[AT_CHANGES])
            last = int(scan(ptr32(b[AT_SCAN]), ptr32(b[AT_GROUPS]), now))
            i = 0
            while i < last:
                kick = int(contact(a, changes[i] >> 1, changes[i] & 1, now))
                if kick:
                    advance(a, kick, now)
                    drives = int(serve(a, now))
                i += 1
        drive(b, drives)
        feed(b)
    except BaseException:
        if b[FAULT] == 0:
            b[FAULT] = _RAISED
        silence(ptr32(b[AT_REGISTERS]))


@micropython.viper
def gather(b: ptr32):
    """What the converter found, and its next channel; the last two scans as sample groups.

    A word of the scan that is not where it belongs is a fault.
    """
    adc = ptr32(ptr32(b[AT_REGISTERS])[_ADC])
    value = 0
    if adc[0] & _CONVERTED:
        value = adc[1] & 0xFFF
    i = b[CONVERTED]
    if i & 1 == 0:
        b[BUS_MV] = (value * b[COIL_FULL_MV]) >> 12
    elif i == 1:
        b[DRAWN_MA] = (value * b[FULL_MA]) >> 12
        b[DRAWN_BY] = b[SENT_BEFORE]
    else:
        b[LOGIC_MV] = (value * b[LOGIC_FULL_MV]) >> 12
    i = (i + 1) & 3
    b[CONVERTED] = i
    b[SENT_BEFORE] = b[SENT]
    at = 0
    if i & 1:
        at = 2 - (i >> 1)  # amperes, logic
    adc[0] = (at << 12) | _CONVERT
    w = ptr32(b[AT_WORDS])
    g = ptr32(b[AT_GROUPS])
    counter = (ptr32(b[CHANNEL])[2] + ptr32(b[CHANNEL_TWO])[2]) & _MASK
    if counter == b[COUNTED]:
        if b[FAULT] == 0:
            b[FAULT] = _STANDS_STILL
        return
    b[COUNTED] = counter
    i = 0
    bad = 0
    head = 14
    while i < 32:
        bad |= ((w[i] >> 20) ^ head) | ((w[i + 1] >> 20) ^ head ^ 1)
        head = (head - 2) & 14
        i += 2
    if bad:
        if b[UP] > 4 and b[FAULT] == 0:
            b[FAULT] = _LOST_PLACE
        return
    i = 0
    while i < 2:
        at = i * 16
        to = i * 5
        g[to] = ((w[at] >> 12) & 0xFF) | ((w[at + 2] >> 4) & 0xFF00)
        g[to + 1] = ((w[at + 4] >> 12) & 0xFF) | ((w[at + 6] >> 4) & 0xFF00)
        g[to + 2] = ((w[at + 8] >> 12) & 0xFF) | ((w[at + 10] >> 4) & 0xFF00)
        g[to + 3] = ((w[at + 12] >> 12) & 0xFF) | ((w[at + 14] >> 4) & 0xFF00)
        g[to + 4] = ((w[at] & 0xFFF) << 4) | ((w[at + 1] >> 16) & 15)
        i += 1
    b[DRAINS] = w[1] & w[17] & 0xFFFF


@micropython.viper
def watch_clock(b: ptr32):
    """While coils are enabled, 64 turns take 64 ms by the chip's timer, 10 % more or less; else a fault.

    A callback that is called too rarely makes every pulse too long, and feeds the guard all the same. A save
    masks interrupts for longer, and drops the enable meanwhile: the window begins anew behind it.
    """
    us = ptr32(ptr32(b[AT_REGISTERS])[_TIMER])[0] & _MASK
    turns = b[CLOCK_TURNS] + 1
    if b[ENABLED] == 0:
        turns = 0
    if turns >= _WINDOW:
        passed = (us - b[CLOCK_US]) & _MASK
        if (passed < _WINDOW_LEAST_US or passed > _WINDOW_MOST_US) and b[FAULT] == 0:
            b[FAULT] = _OFF_TIME
        turns = 0
    if turns == 0:
        b[CLOCK_US] = us
    b[CLOCK_TURNS] = turns


@micropython.viper
def drive(b: ptr32, drives: int):
    """Shift the 24 drives out and what was there back in, then latch; the held pair by its PWM."""
    r = ptr32(b[AT_REGISTERS])
    spi = ptr32(r[_SPI])
    withheld = ptr32(b[AT_WITHHELD])[0]
    want = 0
    if b[ENABLED] != 0 and b[FAULT] == 0 and b[QUIET] == 0 and withheld == 0:
        want = drives & (-1 ^ ptr32(b[AT_BLOCKED])[0])
    elif b[QUIET] != 0:
        b[QUIET] -= 1
    tries = 0
    while spi[3] & 4 and tries < 8:
        back = spi[2]  # left over
        tries += 1
    spi[2] = (want >> 16) & 0xFF
    spi[2] = (want >> 8) & 0xFF
    spi[2] = want & 0xFF
    back = 0
    count = 0
    tries = 0
    while count < 3 and tries < 400:
        if spi[3] & 4:
            back = (back << 8) | (spi[2] & 0xFF)
            count += 1
        tries += 1
    ptr32(r[_SET])[0] = _LATCH
    if count < 3:
        if b[FAULT] == 0:
            b[FAULT] = _NO_ANSWER
    elif back == b[SENT] & _ALL:
        if b[VERIFIED] < 1000:
            b[VERIFIED] += 1
    elif b[VERIFIED] >= _NEEDED:
        if b[FAULT] == 0:
            b[FAULT] = _READS_WRONG
        b[VERIFIED] = 0
    else:
        b[VERIFIED] = 0
    b[SENT] = want
    ptr32(r[_CLEAR])[0] = _LATCH
    level = 0
    if want & (1 << 24):
        level = b[HOLD_LEVEL]
    if want & (1 << 25):
        level |= b[HOLD_LEVEL] << 16
    ptr32(r[_HELD])[0] = level


@micropython.viper
def feed(b: ptr32):
    """Feed the watchdog, the supply relay and the guard, each only while its conditions hold."""
    r = ptr32(b[AT_REGISTERS])
    b[FEEDS] = 0
    if b[FAULT] != 0:
        return
    if b[ALIVE] < _SILENT_MS:
        ptr32(r[_WATCHDOG])[0] = r[_LOAD]
    if ptr32(b[AT_WITHHELD])[0] & b[NO_FEED]:
        return
    if b[SUPPLY_ON]:
        ptr32(r[_FLIP])[0] = _SUPPLY_FEED
    if b[ENABLED] == 0 or b[VERIFIED] < _NEEDED:
        return
    b[FED] += 1
    b[FEEDS] = 1
    ptr32(r[_FLIP])[0] = _FEED


@micropython.viper
def silence(r: ptr32):
    """Zeros to the drive chain and the held pair, both feeds still: as far as software reaches.

    `r`: `registers`.
    """
    spi = ptr32(r[_SPI])
    ptr32(r[_HELD])[0] = 0
    spi[2] = 0
    spi[2] = 0
    spi[2] = 0
    tries = 0
    while spi[3] & 16 and tries < 1000:
        tries += 1
    ptr32(r[_SET])[0] = _LATCH
    ptr32(r[_CLEAR])[0] = _LATCH


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from boards.pico_matrix.interfaces import Pointed
