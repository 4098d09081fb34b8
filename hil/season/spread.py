"""How a whole number is spread over many games: exact sums, and a histogram of bounded size."""

from collections.abc import Iterator
from dataclasses import dataclass, field

Plain = tuple[int, int, int, int, int, list[tuple[int, int]]]
FINE_BITS = 7  # a bin is at most 2^-7 of its values wide: 0.8 %


@dataclass
class Spread:
    """Count, sum, sum of squares, least and greatest are exact; values from 256 on share bins of 0.8 %.

    Values are whole and not negative. Two are added with `merge`, in any order.
    """

    count: int = 0
    sum: int = 0
    squares: int = 0
    least: int = 0
    most: int = 0
    bins: dict[int, int] = field(default_factory=dict)
    """By the lowest value of a bin: how many values are in it."""

    def add(self, value: int) -> None:
        """Count a value. Raises ValueError when it is negative."""
        if value < 0:
            raise ValueError(f"a spread takes values from 0 on, not {value}")
        self._extend(value, value)
        self.count += 1
        self.sum += value
        self.squares += value * value
        low = bin_of(value)
        self.bins[low] = self.bins.get(low, 0) + 1

    def merge(self, other: "Spread") -> None:
        """Add another spread's values."""
        if not other.count:
            return
        self._extend(other.least, other.most)
        self.count += other.count
        self.sum += other.sum
        self.squares += other.squares
        for low, count in other.bins.items():
            self.bins[low] = self.bins.get(low, 0) + count

    def mean(self) -> float:
        """The mean; 0 without values."""
        return self.sum / self.count if self.count else 0.0

    def quantile(self, part: float) -> int:
        """The lowest value of the bin at `part` (0 to 1) of the sorted values; 0 without values."""
        left = min(int(part * self.count), self.count - 1)
        for low, count in sorted(self.bins.items()):
            left -= count
            if left < 0:
                return max(low, self.least)
        return 0

    def reached(self, value: int) -> int:
        """How many values are in bins from that of `value` on; exact where `value` begins a bin."""
        return sum(count for low, count in self.bins.items() if low >= bin_of(value))

    def steps(self) -> Iterator[tuple[int, int]]:
        """Lowest value and count of each bin, ascending."""
        return iter(sorted(self.bins.items()))

    def plain(self) -> Plain:
        """As JSON: the same text for the same values, whatever the order they were added in."""
        return self.count, self.sum, self.squares, self.least, self.most, sorted(self.bins.items())

    def _extend(self, least: int, most: int) -> None:
        self.least = least if not self.count else min(self.least, least)
        self.most = max(self.most, most)


def bin_of(value: int) -> int:
    """The lowest value of the bin that `value` is in."""
    spare = max(0, value.bit_length() - FINE_BITS - 1)
    return value >> spare << spare


def spread_of(plain: Plain) -> Spread:
    """The spread that `plain` wrote."""
    count, total, squares, least, most, bins = plain
    return Spread(count, total, squares, least, most, dict(bins))
