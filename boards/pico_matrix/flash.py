"""How the flash is laid out, and what is in it. The host builds images by the same numbers.

    0           code: MicroPython, firmware, board and game; in its last 256 bytes the record
    1024 KB     two slots of 256 KB for games on trial (slots.py)
    1536 KB     the file system: settings, scores, counts

The record: MAGIC, length of the code (u32, little-endian), its CRC-32 (u32), the game's package (64 bytes,
padded with zeros), SHA-256 over the sources of firmware and board (32 bytes), and over those of the game.
"""

import hashlib

XIP = 0x10000000  # where the chip sees its flash
PAGE = 256
SECTOR = 4096
CODE = 1024 * 1024
SLOT = 256 * 1024
RECORD_AT = CODE - PAGE
MAGIC = b"inlane-1"
LENGTH_AT = 8
CRC_AT = 12
PACKAGE_AT = 16
ENGINE_AT = 80
GAME_AT = 112
RECORD_END = 144


def memory(at: int, length: int) -> bytearray:
    """The flash from `at` on, without a copy."""
    import uctypes

    found: bytearray = uctypes.bytearray_at(XIP + at, length)
    return found


def code() -> bytearray:
    """The code as the record tells its length; empty without a record."""
    record = memory(RECORD_AT, RECORD_END)
    if record[: len(MAGIC)] != MAGIC:
        return bytearray()
    length = int.from_bytes(record[LENGTH_AT:CRC_AT], "little")
    return memory(0, length) if 0 < length <= RECORD_AT else bytearray()


def recorded_sum() -> bytes:
    """The code's CRC-32 as the record has it, b"" without a record."""
    return bytes(memory(RECORD_AT + CRC_AT, 4)) if code() else b""


def found_sum() -> bytes:
    """The code's CRC-32, computed now."""
    from binascii import crc32

    return crc32(code()).to_bytes(4, "little")


def version(slot_header: "bytes | bytearray | memoryview") -> bytes:
    """SHA-256 over the record and the header of the game slot in use (b"": none); b"" without a record.

    Record and header hold the sums by which the start has checked what follows them.
    """
    if not code():
        return b""
    sha = hashlib.sha256(memory(RECORD_AT, RECORD_END))
    sha.update(slot_header)
    return sha.digest()


def identify(nonce: "bytes | bytearray | memoryview", slot: "bytes | bytearray | memoryview") -> bytes:
    """SHA-256 over the nonce, code and record, and the game slot in use (b"" when none is)."""
    sha = hashlib.sha256(nonce)
    sha.update(code())
    sha.update(memory(RECORD_AT, RECORD_END))
    sha.update(slot)
    return sha.digest()
