"""Keys of persistent values: CRC-32 of the name, cut to 30 bits so that a 32-bit board does not allocate."""

from binascii import crc32

KEYS = (1 << 30) - 1


def key_of(name: str) -> int:
    """The key of a name (0 … 2^30−1), whatever its place in a table."""
    return int(crc32(name.encode()) & KEYS)
