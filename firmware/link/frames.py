"""What travels: COBS(body + CRC-32, little-endian) + a zero byte; body = sequence number, type, payload.

Each side numbers its frames 0 … 255 and round again, from 0 at HELLO and at WELCOME. To the device
a frame takes at most 32 bytes on the wire (a small UART buffer holds it whole), to the host at
most 248 (20 trace records; one COBS block). Numbers are little-endian.
"""

from firmware.base.crc import Crc
from firmware.link import cobs

PROTOCOL = 1

# host to device
HELLO = 1  # nonce 16 bytes, protocol u8: who are you? A session begins
SETTING = 2  # place in the game's table u8, value i32: for the next START
START = 3  # mode u8, seed u32: a fresh console at time 0
CONTACT = 4  # switch u16, closed u8: a raw contact change, now
ADVANCE = 5  # ms u32: in lock-step run to there, in real time say when it is reached
FINISH = 6  # the run ends, give the digest
ALIVE = 7  # real time: the host is there
STOP = 8  # everything off, the session ends
ASK = 9  # what u8, first place u16: what are the numbers of this kind from there on
WATCH = 10  # nonce 16 bytes, protocol u8: look at what plays by itself, which goes on; answered by WELCOME
LOOK = 11  # watching: give the oldest records that wait

# device to host
WELCOME = 65  # protocol u8, SHA-256(nonce + own files), game's name [, 0, the error that ended its program]
STARTED = 66  # the console stands at time 0
RECORDS = 67  # 1 … 20 trace records of 12 bytes
DONE = 68  # time reached u32, records made so far u32, records and events lost u32
FINISHED = 69  # the trace's SHA-256, records made u32, SHA-256(nonce + run u32 + the trace's)
PRESENT = 70  # answer to ALIVE: time u32
FAULT = 71  # reason u8, words: the device has switched off and left the session
FACTS = 72  # answer to ASK: what u8, first place u16, up to 50 numbers i32
SEEN = 73  # answer to LOOK: time u32, records lost so far u32, up to 19 trace records
ENTRY = 74  # answer to ASK for FAULTS: place u16, entries u16, detail i32, times i32, its name

LOCK_STEP = 0
REAL_TIME = 1

# ASK: what
WINDOWS = 0  # of each window the ms left, 0 when it is closed, negative when it stands still
VALUES = 1  # each value of the game
SWITCHES = 2  # each switch, 1 closed
LAMPS = 3  # the pattern of each lamp
COILS = 4  # each coil: 0 off, 1 in a pulse, 2 held
HEAT = 5  # the heat of each coil in thousandths of what it bears
TEXTS = 6  # the cells of each display chunk, −1: none was shown yet
STATES = 7  # of each chart the state that it rests in
SCORES = 8  # playing player from 1, players, ball, 1 while a game is on; the score of each player
SETTINGS = 9  # each of the operator's settings
SENSED = 10  # what the board knows of itself: coil bus in mV, 5 V rail in mV, what withholds the coils
FAULTS = 11  # one entry of the fault log

DAMAGED = 1
GAP = 2
UNEXPECTED = 3
REFUSED = 4
CRASHED = 5
SILENT = 6

NONCE = 16
DIGEST = 32
HEAD = 2
TAIL = 4
PAYLOAD = 1 + HEAD
TO_DEVICE = 32  # most bytes on the wire, the closing zero counted
TO_HOST = 248
RECORDS_MOST = 20
LOOK_MOST = 19
FACTS_MOST = 50
WORDS_MOST = 200
NAME_MOST = 60
ENDED_MOST = 140


class Sender:
    """Builds one frame at a time where it is stuffed and written; allocates nothing.

    `wire` holds COBS's first byte, sequence number, type, payload; `end` is where the payload ends.
    """

    def __init__(self, write: "Callable[[bytearray, int], None]", most: int = TO_HOST) -> None:
        self.wire = bytearray(most)
        self.end = PAYLOAD
        self._write = write
        self._crc = Crc()
        self._sequence = 0

    def restart(self) -> None:
        """The next frame is number 0. A zero before it ends whatever else was on the line."""
        self._sequence = 0
        self.wire[0] = 0
        self._write(self.wire, 1)

    def begin(self, kind: int) -> None:
        """Start a frame of type `kind`."""
        self.wire[2] = kind
        self.end = PAYLOAD

    def u8(self, n: int) -> None:
        """Append one byte."""
        self.wire[self.end] = n
        self.end += 1

    def u32(self, n: int) -> None:
        """Append four bytes; `n` is −2^30 … 2^30−1."""
        for _ in range(4):
            self.u8(n & 0xFF)
            n >>= 8

    def put(self, data: bytes) -> None:
        """Append `data`."""
        for byte in data:
            self.u8(byte)

    def send(self) -> None:
        """Close the frame and write it."""
        wire = self.wire
        wire[1] = self._sequence
        self._sequence = (self._sequence + 1) & 0xFF
        crc = self._crc
        crc.over(wire, 1, self.end)
        self.u8(crc.lo & 0xFF)
        self.u8(crc.lo >> 8)
        self.u8(crc.hi & 0xFF)
        self.u8(crc.hi >> 8)
        cobs.encode(wire, self.end - 1)
        self.u8(0)
        self._write(wire, self.end)


class Receiver:
    """Takes bytes, gives frames; after `take` returned FRAME, `kind`, `body` and `end` hold it."""

    NOTHING = 0
    FRAME = 1
    BROKEN = 2  # damaged, too long, or no frame at all
    MISSED = 3  # whole, but not the next in order

    def __init__(self, most: int = TO_DEVICE) -> None:
        self.kind = 0
        self.body = bytearray(most - 1)
        self.end = 0
        self._held = 0
        self._crc = Crc()
        self._sequence = 0

    def expect(self, sequence: int) -> None:
        """The next frame must have this number."""
        self._sequence = sequence

    def take(self, byte: int) -> int:
        """One byte from the line; says what it completed. Zeros between frames are nothing."""
        if byte:
            if self._held < len(self.body):
                self.body[self._held] = byte
            self._held += 1
            return Receiver.NOTHING
        held = self._held
        self._held = 0
        if not held:
            return Receiver.NOTHING
        return self._open(held)

    def _open(self, held: int) -> int:
        body = self.body
        if held > len(body):
            return Receiver.BROKEN
        end = cobs.decode(body, held) - TAIL
        if end < HEAD:
            return Receiver.BROKEN
        crc = self._crc
        crc.over(body, 0, end)
        if body[end] | body[end + 1] << 8 != crc.lo or body[end + 2] | body[end + 3] << 8 != crc.hi:
            return Receiver.BROKEN
        self.kind = body[1]
        self.end = end
        if body[0] != self._sequence and self.kind != HELLO and self.kind != WATCH:
            return Receiver.MISSED
        self._sequence = (body[0] + 1) & 0xFF
        return Receiver.FRAME

    def u16(self, at: int) -> int:
        """The 16-bit number at `at` of the payload."""
        return self.body[HEAD + at] | self.body[HEAD + at + 1] << 8

    def i32(self, at: int) -> int:
        """The signed 32-bit number at `at` of the payload, which lies within −2^30 … 2^30−1."""
        at += HEAD
        top = self.body[at + 3]
        if top >= 128:
            top -= 256
        return self.body[at] | self.body[at + 1] << 8 | self.body[at + 2] << 16 | top << 24


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
