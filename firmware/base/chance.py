"""Seeded chance: Marsaglia's xorshift32 held as two 16-bit halves.

The halves keep every intermediate a small integer on a 32-bit board, where a 32-bit word would
allocate. One stream a use, so that adding a draw in one feature does not move another.
"""


class Stream:
    """One stream of draws, separate from others of the same seed by `use`."""

    def __init__(self, seed: int, use: int = 0) -> None:
        self.hi = 0
        self.lo = 1
        self.reseed(seed, use)

    def reseed(self, seed: int, use: int = 0) -> None:
        """Start again from `seed` (0 … 2^30−1) and the number of the use (0 … 2^15−1)."""
        self.lo = (seed & 0xFFFF) ^ ((use * 40503) & 0xFFFF)
        self.hi = ((seed >> 16) & 0xFFFF) ^ ((use * 30011) & 0xFFFF)
        if not (self.lo | self.hi):
            self.lo = 1
        if use:
            for _ in range(8):
                self.step()

    def step(self) -> None:
        """Next state: x ^= x << 13; x ^= x >> 17; x ^= x << 5, modulo 2^32 (Marsaglia 2003)."""
        hi = self.hi
        lo = self.lo
        hi ^= ((hi << 13) | (lo >> 3)) & 0xFFFF
        lo ^= (lo << 13) & 0xFFFF
        lo ^= hi >> 1
        hi ^= ((hi << 5) | (lo >> 11)) & 0xFFFF
        lo ^= (lo << 5) & 0xFFFF
        self.hi = hi
        self.lo = lo

    def below(self, n: int) -> int:
        """A draw from 0 … n−1, each equally likely; `n` is 1 … 2^14."""
        fair = 0x10000 - 0x10000 % n
        while True:
            self.step()
            if self.hi < fair:
                return self.hi % n

    def weighted(self, weights: "tuple[int, ...]") -> int:
        """An index of `weights`, drawn in proportion to them; their sum is at most 2^14."""
        left = self.below(sum(weights))
        for i in range(len(weights)):
            left -= weights[i]
            if left < 0:
                return i
        raise ValueError("weights: at least one must be above 0")
