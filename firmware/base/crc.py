"""CRC-32/ISO-HDLC in two 16-bit halves, four bits at a time.

`binascii.crc32` gives the same value, but one above 2^30: on a 32-bit board each call allocates,
and the link runs while balls are in play. The halves stay small integers; tables for four bits
take 32 bytes each where those for eight would take 512, and a full frame of 248 bytes still
takes less than 0.2 ms on a desk machine.
"""

from array import array

_HIGH = array("H", [0] * 16)
_LOW = array("H", [0] * 16)


def _fill() -> None:
    for index in range(16):
        hi = 0
        lo = index
        for _ in range(4):
            odd = lo & 1
            lo = lo >> 1 | (hi & 1) << 15
            hi >>= 1
            if odd:
                hi ^= 0xEDB8  # 0x04C11DB7, bits reversed
                lo ^= 0x8320
        _HIGH[index] = hi
        _LOW[index] = lo


_fill()


class Crc:
    """A checksum: `hi` is its upper 16 bits, `lo` its lower ones."""

    def __init__(self) -> None:
        self.hi = 0
        self.lo = 0

    def over(self, data: "bytes | bytearray", start: int, end: int) -> None:
        """Set `hi` and `lo` to the checksum of `data[start:end]`."""
        high = _HIGH
        low = _LOW
        hi = 0xFFFF
        lo = 0xFFFF
        for i in range(start, end):
            lo ^= data[i]
            for _ in range(2):
                index = lo & 15
                lo = (lo >> 4 | (hi & 15) << 12) ^ low[index]
                hi = hi >> 4 ^ high[index]
        self.hi = hi ^ 0xFFFF
        self.lo = lo ^ 0xFFFF
