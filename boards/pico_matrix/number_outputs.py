"""Displays of digits in the place of the two lines: an HT16K33 each, with seven segments and a point a digit.

Digit n of a display is the chip's common n from the left, segments a to g and the point its rows 0 to 7.
"""

from boards.pico_matrix.slow_outputs import SlowOutputs
from firmware.devices.digits import segments

FIRST = 0x70  # display 0; the next is one further
CHUNKS, CHUNK = 8, 3  # idents and cells of a TEXT record
IMAGE = 17  # bytes of a chip: where to begin, then two a common


class NumberOutputs(SlowOutputs):
    """Lamps and cues as ever; `sizes` are the digits of each display."""

    def __init__(self, places: bytes, sizes: bytes) -> None:
        self._sizes = sizes
        self._chip = 0  # whose turn it is
        super().__init__(places, tuple([FIRST + i for i in range(len(sizes))]))

    def text(self, chunk: int, cells: int) -> None:
        """Three digits of a display, as in a TEXT record."""
        display = chunk // CHUNKS
        if display >= len(self._sizes):
            return  # of a text that the board itself shows
        first = chunk % CHUNKS * CHUNK
        for digit in range(first, min(first + CHUNK, self._sizes[display])):
            at = display * IMAGE + 1 + 2 * digit
            shown = segments(cells & 511)
            if self._image[at] != shown:
                self._image[at] = shown
                self._stale |= 1 << display
            cells >>= 9

    def turn(self, now: int) -> None:
        """A piece of work: lamps, as `SlowOutputs` does, and one display that changed."""
        stale, self._stale = self._stale, 0
        super().turn(now)
        self._stale = stale & ~self._missing
        for _ in range(len(self._sizes)):
            chip = self._chip
            self._chip = (chip + 1) % len(self._sizes)
            if self._stale >> chip & 1:
                self._stale &= ~(1 << chip)
                self._say(chip, self._parts[chip])
                return
