"""Consistent Overhead Byte Stuffing: a frame without a zero byte, so that zero can end it.

S. Cheshire, M. Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Transactions on Networking 7(2), 1999.
"""

BLOCK = 254  # most bytes one length byte stands for


def longest(n: int) -> int:
    """Most bytes that `n` bytes may take once stuffed, the closing zero not counted."""
    return n + 1 + n // BLOCK


def encode(source: "bytes | bytearray", n: int, out: bytearray) -> int:
    """Stuff `source[0:n]` into `out`, which has room for `longest(n)`; the bytes written."""
    code = 0
    at = 1
    for i in range(n):
        byte = source[i]
        if byte:
            out[at] = byte
            at += 1
            if at - code > BLOCK and i + 1 < n:
                out[code] = 255
                code = at
                at += 1
        else:
            out[code] = at - code
            code = at
            at += 1
    out[code] = at - code
    return at


def decode(source: "bytes | bytearray", n: int, out: bytearray) -> int:
    """Restore `source[0:n]` into `out` (room for `n`; `source` itself will do); the bytes written.

    −1 when it is not stuffed bytes: empty, a zero inside, or a block that runs past the end.
    """
    at = 0
    i = 0
    if not n:
        return -1
    while i < n:
        code = source[i]
        i += 1
        if not code or i + code - 1 > n:
            return -1
        for _ in range(code - 1):
            byte = source[i]
            if not byte:
                return -1
            out[at] = byte
            at += 1
            i += 1
        if code < 255 and i < n:
            out[at] = 0
            at += 1
    return at
