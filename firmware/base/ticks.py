"""Wrap-safe arithmetic on a millisecond counter of period 2^30.

A tick value lies in 0 … 2^30−1, a difference in −2^29 … 2^29−1, so nothing here leaves the
small integers of a 32-bit MicroPython (−2^30 … 2^30−1) and nothing allocates.
Same rules as `ticks_add` and `ticks_diff` of MicroPython's `time` module on such a board.
"""

MASK = 0x3FFFFFFF
HALF = 0x20000000


def add(ticks: int, delta: int) -> int:
    """`ticks` moved by `delta` milliseconds (−2^29 … 2^29−1)."""
    # Wrap by hand: the plain sum of two values near 2^30 would leave the small integers.
    room = MASK - ticks
    if delta > room:
        return delta - room - 1
    return (ticks + delta) & MASK


def diff(end: int, start: int) -> int:
    """Milliseconds from `start` to `end`, negative when `end` is earlier."""
    d = (end - start) & MASK
    if d >= HALF:
        return d - MASK - 1
    return d
