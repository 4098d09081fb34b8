"""Keys of kept values: 30 bits, as many as an integer may have on a 32-bit board without taking memory."""

from binascii import crc32

KEYS = (1 << 30) - 1


def key_of(name: str) -> int:
    """A key that belongs to a name, whatever its place in a table."""
    return int(crc32(name.encode()) & KEYS)
