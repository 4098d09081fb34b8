"""The callback of the 1 kHz timer: scan, senses, reflexes, limits, drive chain, guard feed, in this order.

The guard is fed by the last statement, after every check has passed; nothing else ever writes to
its pin. Whatever is wrong becomes a fault: from then on zeros are shifted out and the feed stops,
so that the one-shot drops the enable even if the zeros do not arrive.
"""

import micropython
from micropython import const

from boards.pico_matrix import scanning, sensing

# The board's own cells
NOW = 0
FAULT = 1
ENABLED = 2
SENT = 3  # what the drive chain should hold
VERIFIED = 4  # times in a row that it did
COUNTED = 5  # the scan's DMA counter as last seen
QUIET = 6  # ms until the first coil may be driven
ALIVE = 7  # ms since the rules were heard of
DRAINS = 8  # read-backs of drives 1 … 16, high is off
AT_SENSES = 9  # cells of firmware.devices.senses
FEEDS = 10  # whether the last turn fed the guard
HOLD_LEVEL = 11  # PWM level of a held drive
SUPPLY_ON = 12  # the relay's one-shot is fed
AT_CORE = 13
AT_SCAN = 14
AT_WORDS = 15  # the ring that the scan's DMA writes
AT_GROUPS = 16
CHANNEL = 17  # registers of the scan's DMA channel
FED = 18  # changes of the guard feed
UP = 19  # ms since start
CHANNEL_TWO = 20  # its twin, which takes over from it
CELLS = 21

FAULTS = (
    "",
    "the scan lost its place",
    "the scan stands still",
    "the drive chain reads back wrong",
    "the callback raised an error",
    "the rules fell silent",
    "a drive is stuck on",
    "the drive chain does not answer",
    "the coil enable stays on without its feed",
    "coil current flows that nobody asked for",
)
STUCK_ON = 6
OVERDRAWN = 9

_NOW = const(0)
_FAULT = const(1)
_ENABLED = const(2)
_SENT = const(3)
_VERIFIED = const(4)
_COUNTED = const(5)
_QUIET = const(6)
_ALIVE = const(7)
_DRAINS = const(8)
_AT_SENSES = const(9)
_FEEDS = const(10)
_HOLD_LEVEL = const(11)
_SUPPLY_ON = const(12)
_AT_CORE = const(13)
_AT_SCAN = const(14)
_AT_WORDS = const(15)
_AT_GROUPS = const(16)
_CHANNEL = const(17)
_FED = const(18)
_UP = const(19)
_CHANNEL_TWO = const(20)

_LOST_PLACE = const(1)
_STANDS_STILL = const(2)
_READS_WRONG = const(3)
_SILENT = const(5)
_STUCK_ON = const(6)
_NO_ANSWER = const(7)
_ENABLE_STUCK = const(8)

_LOCKED_ON = const(1)  # what the senses call it
_WITHHELD = const(14)  # in the senses' cells,
_BLOCKED = const(8)
_NO_FEED = const(5)  # door open, 5 V low: of what may be withheld
_LEASE_END = const(1)  # in the core's cells
_DRIVEN = const(14)
_MASK = const(0x3FFFFFFF)
_ALL = const(0xFFFFFF)
_SILENT_MS = const(2000)
_NEEDED = const(2)
_LATCH = const(1 << 17)
_FEED = const(1 << 11)
_GUARD_STATE = const(1 << 12)
_SUPPLY_FEED = const(1 << 13)
_INTERLOCK = const(1 << 22)

step: "Any" = scanning.step
sense: "Any" = sensing.sense
board: "Any" = None  # the cells: a callback may not look further


def work_on(cells: "array[int]") -> None:
    """The board's own cells, from now on."""
    global board
    board = cells


@micropython.viper
def beat(timer):
    b = ptr32(board)
    now = (b[_NOW] + 1) & _MASK
    b[_NOW] = now
    if b[_UP] < _MASK:
        b[_UP] += 1
    gather(b)
    pins = ptr32(0xD0000000)[1]
    enabled = 0 if pins & _GUARD_STATE else 1
    shut = 0 if pins & _INTERLOCK else 1
    found = int(sense(b[_AT_SENSES], b[_DRAINS], b[_SENT], b[_FEEDS], enabled, shut))
    watch(b, found, now)
    if b[_FAULT] == 0:
        step(b[_AT_CORE], b[_AT_SCAN], b[_AT_GROUPS], now)
    drive(b)
    feed(b)


@micropython.viper
def gather(b: ptr32):
    """The last two scans as sample groups; a word that is not where it belongs is a fault."""
    w = ptr32(b[_AT_WORDS])
    g = ptr32(b[_AT_GROUPS])
    counter = (ptr32(b[_CHANNEL])[2] + ptr32(b[_CHANNEL_TWO])[2]) & _MASK
    if counter == b[_COUNTED]:
        if b[_FAULT] == 0:
            b[_FAULT] = _STANDS_STILL
        return
    b[_COUNTED] = counter
    i = 0
    bad = 0
    while i < 32:
        bad |= (w[i] >> 20) ^ (14 - (i & 14) | (i & 1))
        i += 1
    if bad:
        if b[_UP] > 4 and b[_FAULT] == 0:
            b[_FAULT] = _LOST_PLACE
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
    b[_DRAINS] = w[1] & w[17] & 0xFFFF


@micropython.viper
def watch(b: ptr32, found: int, now: int):
    """Rules that fell silent; what the senses `found`. While coils are withheld no lease runs."""
    if b[_ALIVE] < _MASK:
        b[_ALIVE] += 1
    if b[_ENABLED] != 0 and b[_ALIVE] > _SILENT_MS and b[_FAULT] == 0:
        b[_FAULT] = _SILENT
    if found and b[_FAULT] == 0:
        b[_FAULT] = _STUCK_ON if found == _LOCKED_ON else _ENABLE_STUCK
    if ptr32(b[_AT_SENSES])[_WITHHELD]:
        ptr32(b[_AT_CORE])[_LEASE_END] = now


@micropython.viper
def drive(b: ptr32):
    """Shift the 24 drives out and what was there back in, then latch; the held pair by its PWM."""
    spi = ptr32(0x4003C000)
    sio = ptr32(0xD0000000)
    senses = ptr32(b[_AT_SENSES])
    want = 0
    if b[_ENABLED] != 0 and b[_FAULT] == 0 and b[_QUIET] == 0 and senses[_WITHHELD] == 0:
        want = ptr32(b[_AT_CORE])[_DRIVEN] & (-1 ^ senses[_BLOCKED])
    elif b[_QUIET] != 0:
        b[_QUIET] -= 1
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
    sio[5] = _LATCH
    if count < 3:
        if b[_FAULT] == 0:
            b[_FAULT] = _NO_ANSWER
    elif back == b[_SENT] & _ALL:
        if b[_VERIFIED] < 1000:
            b[_VERIFIED] += 1
    elif b[_VERIFIED] >= _NEEDED:
        if b[_FAULT] == 0:
            b[_FAULT] = _READS_WRONG
        b[_VERIFIED] = 0
    else:
        b[_VERIFIED] = 0
    b[_SENT] = want
    sio[6] = _LATCH
    level = 0
    if want & (1 << 24):
        level = b[_HOLD_LEVEL]
    if want & (1 << 25):
        level |= b[_HOLD_LEVEL] << 16
    ptr32(0x40050098)[0] = level


@micropython.viper
def feed(b: ptr32):
    sio = ptr32(0xD0000000)
    b[_FEEDS] = 0
    if b[_FAULT] != 0:
        return
    if b[_ALIVE] < _SILENT_MS:
        ptr32(0x40058000)[1] = 0xFFFFFF  # the watchdog
    if ptr32(b[_AT_SENSES])[_WITHHELD] & _NO_FEED:
        return
    if b[_SUPPLY_ON]:
        sio[7] = _SUPPLY_FEED
    if b[_ENABLED] == 0 or b[_VERIFIED] < _NEEDED:
        return
    b[_FED] += 1
    b[_FEEDS] = 1
    sio[7] = _FEED


def callback(timer: "Any") -> None:
    """What the timer calls. After an error it would not be called again: then the feed is over."""
    try:
        beat(timer)
    except BaseException:
        if not board[1]:
            board[1] = 4
        silence()


@micropython.viper
def silence():
    """Zeros to the drive chain and the held pair, both feeds still: as far as software reaches."""
    spi = ptr32(0x4003C000)
    sio = ptr32(0xD0000000)
    ptr32(0x40050098)[0] = 0
    spi[2] = 0
    spi[2] = 0
    spi[2] = 0
    tries = 0
    while spi[3] & 16 and tries < 1000:
        tries += 1
    sio[5] = _LATCH
    sio[6] = _LATCH


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array
    from typing import Any
