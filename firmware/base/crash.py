"""What a board keeps of an error that ended its program: in memory that a restart does not clear.

Layout of the memory (numbers little-endian):

    BOX    the last events: place of the next one u8, how many there are u8, two bytes unused, records as in
           the trace
    MAGIC_AT   MAGIC
    LENGTH_AT  bytes in use from START on (u16); CRC-32 over them and the box, low half (u16), high half (u16)
    START  kind u8; length of the sentence u8, the sentence; number of faults u8, each: length of the name u8,
           the name, detail i32, times u16

The box is written while the machine plays (base.trace), so it outlasts a program that could not say anything.
It stands first: a stack that overflows into this memory comes from its other end.
"""

import struct

from firmware.base.crc import Crc
from firmware.base.ring import BOX_EVENTS, BOX_HEAD, BOX_SIZE
from firmware.base.trace import FORMAT, RECORD

SIZE = 1024
MAGIC = b"inlane-e"
BOX = 0
MAGIC_AT = BOX + BOX_SIZE
LENGTH_AT = MAGIC_AT + 8
START = LENGTH_AT + 6
END = SIZE - 4  # what a board puts behind it is its own
WORDS_MOST = 240
FAULTS_MOST = 10

PROGRAM, MEMORY, DEPTH, HARDWARE, START_UP, REFUSED, STOOD_STILL, STARTS = range(1, 9)
KINDS = (
    "",
    "an error in the program",
    "the memory ran out",
    "calls went too deep",
    "the hardware has a fault",
    "the program could not start",
    "the coils stay off",
    "the program stood still and the watchdog restarted it",
    "the program started three times within a minute",
)


class Crash:
    """One record, read. `kind` is one of those above; `faults` are (name, detail, times)."""

    def __init__(self, kind: int, sentence: str, faults: "list[tuple[str, int, int]]", box: bytes) -> None:
        self.kind = kind
        self.sentence = sentence
        self.faults = faults
        self._box = box

    def count(self) -> int:
        """How many events there are."""
        return self._box[1]

    def event(self, back: int) -> "tuple[int, int, int, int]":
        """Time in ms, kind, id and value of an event; 0 is the last one."""
        place = (self._box[0] - 1 - back) % BOX_EVENTS
        ms, kind, ident, value = struct.unpack_from(FORMAT, self._box, BOX_HEAD + place * RECORD)
        return ms, kind, ident, value


def box(memory: bytearray) -> "memoryview":
    """The part of the memory where a trace puts its last events."""
    return memoryview(memory)[BOX:MAGIC_AT]


def write(memory: bytearray, kind: int, sentence: str, faults: "list[tuple[str, int, int]]") -> None:
    """Record an error; the events are those that are in the box."""
    words = sentence.encode()[:WORDS_MOST]
    body = bytes([kind, len(words)]) + words + bytes([min(len(faults), FAULTS_MOST)])
    for name, detail, times in faults[:FAULTS_MOST]:
        coded = name.encode()[:24]
        body += bytes([len(coded)]) + coded + struct.pack("<iH", detail, min(times, 0xFFFF))
    memory[START : START + len(body)] = body
    if memory[BOX] >= BOX_EVENTS or memory[BOX + 1] > BOX_EVENTS:
        clear_box(memory)
    struct.pack_into("<HHH", memory, LENGTH_AT, len(body), *_sums(memory, len(body)))
    memory[MAGIC_AT:LENGTH_AT] = MAGIC


def read(memory: "bytes | bytearray") -> "Crash | None":
    """The record in the memory, None when there is no whole one."""
    if len(memory) != SIZE or memory[MAGIC_AT:LENGTH_AT] != MAGIC:
        return None
    length, low, high = struct.unpack_from("<HHH", memory, LENGTH_AT)
    if length > END - START or (low, high) != _sums(memory, length):
        return None
    at = START + 2 + memory[START + 1]
    sentence = bytes(memory[START + 2 : at]).decode()
    faults = []
    count = memory[at]
    at += 1
    for _ in range(count):
        end = at + 1 + memory[at]
        detail, times = struct.unpack_from("<iH", memory, end)
        faults.append((bytes(memory[at + 1 : end]).decode(), detail, times))
        at = end + 6
    return Crash(memory[START], sentence, faults, bytes(memory[BOX:MAGIC_AT]))


def clear(memory: bytearray) -> None:
    """Forget the record and the events."""
    memory[MAGIC_AT:LENGTH_AT] = bytes(len(MAGIC))
    clear_box(memory)


def clear_box(memory: bytearray) -> None:
    """Forget the events."""
    memory[BOX] = memory[BOX + 1] = 0


def kind_of(error: BaseException) -> int:
    """Which of KINDS an exception is."""
    if isinstance(error, MemoryError):
        return MEMORY
    if isinstance(error, RuntimeError) and ("recursion" in str(error) or "pystack" in str(error)):
        return DEPTH  # "pystack exhausted" where frames have a stack of their own, as on the Pico board
    return PROGRAM


def place(traceback: str) -> str:
    """A printed traceback in one line: what was raised, and where."""
    what = where = ""
    for line in traceback.split("\n"):
        line = line.strip()
        if line.startswith('File "'):
            _, file, rest = line.split('"')
            where = ", at " + file + ":" + rest.replace(", line ", "").replace(", ", " ")
        elif line:
            what = line
    return what + where


def _sums(memory: "bytes | bytearray", length: int) -> "tuple[int, int]":
    """Over the record and the box, as one checksum's halves."""
    crc = Crc()
    crc.over(bytes(memory[START : START + length]) + bytes(memory[BOX:MAGIC_AT]), 0, length + BOX_SIZE)
    return crc.lo, crc.hi
