"""Consistent Overhead Byte Stuffing: a frame without a zero byte, so that zero can end it.

S. Cheshire, M. Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Transactions on Networking 7(2), 1999.
Our frames fit into one block of the code (254 bytes), which can be stuffed where it stands.
"""

BLOCK = 254


def encode(buffer: bytearray, n: int) -> None:
    """Stuff the `n` bytes (at most BLOCK) that stand behind the first one of `buffer`, in place."""
    zero = 0
    for i in range(1, n + 1):
        if not buffer[i]:
            buffer[zero] = i - zero
            zero = i
    buffer[zero] = n + 1 - zero


def decode(buffer: bytearray, n: int) -> int:
    """Restore `buffer[0:n]` in place; how many bytes it is then.

    −1 when it is not stuffed bytes: empty, a zero inside, or a block that runs past the end.
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
