"""One saved record: every value at once, so that a record is wholly old or wholly new.

Little-endian: mark u16, version u8, 0 u8, owner u16, number of values u16, sequence u32,
then key u32 and value i32 for each, by key; CRC-32/ISO-HDLC of all before it, u32.
"""

import struct
from binascii import crc32

from firmware.base.errors import GameError
from firmware.devices.store.key import KEYS

MARK = 0x4B49
VERSION = 2
HEAD = 12
ENTRY = 8
TAIL = 4
LOWEST = -(1 << 30)
HIGHEST = (1 << 30) - 1

_HEAD = "<HBBHHI"
_ENTRY = "<Ii"


def size(count: int) -> int:
    """Bytes of a record of `count` values."""
    return HEAD + ENTRY * count + TAIL


def owner_of(game: str) -> int:
    """The number (16 bits) by which a record names its game."""
    return int(crc32(game.encode()) & 0xFFFF)


def pack(values: "dict[int, int]", owner: int, sequence: int) -> bytearray:
    """A record. Raises GameError for a key or value that does not fit."""
    data = bytearray(size(len(values)))
    struct.pack_into(_HEAD, data, 0, MARK, VERSION, 0, owner, len(values), sequence)
    at = HEAD
    for key in sorted(values):
        value = values[key]
        if not 0 <= key <= KEYS or not LOWEST <= value <= HIGHEST:
            raise GameError(f"a persistent value {value} with key {key} does not fit the store")
        struct.pack_into(_ENTRY, data, at, key, value)
        at += ENTRY
    struct.pack_into("<I", data, at, crc32(memoryview(data)[:at]) & 0xFFFFFFFF)
    return data


class Head:
    """The header of a record, read before its checksum is checked."""

    def __init__(self, data: "bytes | bytearray | memoryview") -> None:
        mark, self.version, _, self.owner, self.count, self.sequence = struct.unpack_from(_HEAD, data, 0)
        self.has_mark = mark == MARK
        self.length: int = size(self.count)


def is_intact(data: "memoryview") -> bool:
    """Whether the record that fills `data` has the checksum it should."""
    end = len(data) - TAIL
    return bool(crc32(data[:end]) & 0xFFFFFFFF == struct.unpack_from("<I", data, end)[0])


def values(data: "memoryview") -> "dict[int, int]":
    """The values of an intact record, by key."""
    found = {}
    for at in range(HEAD, len(data) - TAIL, ENTRY):
        key, value = struct.unpack_from(_ENTRY, data, at)
        found[key] = value
    return found
