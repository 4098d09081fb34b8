"""Consistent Overhead Byte Stuffing: a frame without a zero byte, so that zero can end it.

S. Cheshire, M. Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Transactions on Networking 7(2), 1999.
A frame fits into one block (254 bytes), so it is encoded in place.
"""

BLOCK = 254


def encode(buffer: bytearray, n: int) -> None:
    """Encode `buffer[1:n + 1]` in place, `n` up to BLOCK; the result is `buffer[0:n + 1]`."""
    zero = 0
    for i in range(1, n + 1):
        if not buffer[i]:
            buffer[zero] = i - zero
            zero = i
    buffer[zero] = n + 1 - zero


def decode(buffer: bytearray, n: int) -> int:
    """Decode `buffer[0:n]` in place; returns the number of bytes decoded.

    −1 when these bytes are not an encoded frame: none, a zero among them, or a block longer than the rest.
    """
    at = 0
    i = 0
    if not n:
        return -1
    while i < n:
        code = buffer[i]
        i += 1
        if not code or i + code - 1 > n:
            return -1
        for _ in range(code - 1):
            byte = buffer[i]
            if not byte:
                return -1
            buffer[at] = byte
            at += 1
            i += 1
        if code < 255 and i < n:
            buffer[at] = 0
            at += 1
    return at
