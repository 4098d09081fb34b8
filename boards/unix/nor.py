"""A NOR flash that loses power: bits only fall until an erase, and a cut leaves them anywhere between.

Programming goes byte by byte, erasing in four steps; `cut_at` counts them, and the power fails at
that one. What a cut leaves: whole bytes up to there; or the byte half done; or the whole page half
done, for a page's bytes are programmed together; or a sector half erased, or one that reads blank
and takes no data well. A half-done bit may read otherwise the next time: it is drawn anew at each
read until it is erased or programmed to the end.
"""

from firmware.base.chance import Stream
from firmware.devices.store.medium import Medium

CLEAN = 0
TORN_BYTE = 1
TORN_PAGE = 2
KINDS = ("clean", "torn byte", "torn page")
ERASE_STEPS = 4
PAGE = 256


class PowerCut(Exception):
    """The power failed here."""


class Nor(Medium):
    """`sectors` of `sector_size` bytes; `steps` counts what was done since `arm`."""

    slow_erase = True

    def __init__(self, sectors: int, sector_size: int, chance: Stream) -> None:
        self.sectors = sectors
        self.sector_size = sector_size
        self.cells = bytearray([0xFF] * (sectors * sector_size))
        self.steps = 0
        self.misuse = 0
        self._chance = chance
        self._unsure: dict[int, int] = {}  # bits by place that read as they like
        self._weak = bytearray(sectors)
        self._cut_at = -1
        self._kind = CLEAN

    def arm(self, cut_at: int, kind: int) -> None:
        """The power fails at step `cut_at` from now; −1: it does not."""
        self.steps = 0
        self._cut_at = cut_at
        self._kind = kind

    def image(self) -> "tuple[bytes, dict[int, int], bytes]":
        """All of its state."""
        return bytes(self.cells), dict(self._unsure), bytes(self._weak)

    def restore(self, image: "tuple[bytes, dict[int, int], bytes]") -> None:
        """Back to an image."""
        self.cells[:], unsure, self._weak[:] = image
        self._unsure = dict(unsure)

    def read(self, sector: int, offset: int, into: "bytearray | memoryview") -> None:
        """Fill `into`; bits that a cut left uncertain are drawn anew."""
        start = sector * self.sector_size + offset
        into[:] = self.cells[start : start + len(into)]
        for place in self._unsure:
            if start <= place < start + len(into):
                into[place - start] ^= self._unsure[place] & self._chance.below(256)

    def program(self, sector: int, offset: int, data: "bytes | bytearray | memoryview") -> None:
        """Program `data` byte by byte. Raises PowerCut at the armed step, OSError beyond the sector."""
        if offset + len(data) > self.sector_size:
            raise OSError("beyond the sector")
        start = sector * self.sector_size + offset
        done = 0
        while done < len(data):
            n = min(len(data) - done, PAGE - (offset + done) % PAGE)
            self._page(start + done, data[done : done + n])
            done += n
        if self._weak[sector]:
            for place in range(start, start + len(data)):
                self._unsure[place] = self._chance.below(256)

    def erase(self, sector: int) -> None:
        """Erase in ERASE_STEPS steps. Raises PowerCut at the armed step."""
        for step in range(ERASE_STEPS):
            if self.steps == self._cut_at:
                self._half_erase(sector, step)
                raise PowerCut()
            self.steps += 1
        self._wipe(sector)
        self._weak[sector] = 0

    def _page(self, start: int, data: "bytes | bytearray | memoryview") -> None:
        cut = self._cut_at - self.steps if self._cut_at >= self.steps else len(data)
        if cut >= len(data):
            self._burn(start, data, len(data))
            self.steps += len(data)
            return
        if self._kind == TORN_PAGE:
            for i in range(len(data)):
                self._tear(start + i, data[i])
        else:
            self._burn(start, data, cut)
            if self._kind == TORN_BYTE:
                self._tear(start + cut, data[cut])
        raise PowerCut()

    def _burn(self, start: int, data: "bytes | bytearray | memoryview", n: int) -> None:
        cells = self.cells
        for i in range(n):
            if cells[start + i] != 0xFF and data[i] != 0xFF:
                self.misuse += 1
            cells[start + i] &= data[i]

    def _tear(self, place: int, byte: int) -> None:
        """Each bit that was to fall may have fallen, may not, or is between the two."""
        falling = self.cells[place] & ~byte & 0xFF
        self.cells[place] &= ~(falling & self._chance.below(256)) & 0xFF
        unsure = falling & self._chance.below(256) & self._chance.below(256)
        if unsure:
            self._unsure[place] = unsure

    def _half_erase(self, sector: int, step: int) -> None:
        if step == 0:
            return
        start = sector * self.sector_size
        if step == ERASE_STEPS - 1:
            self._wipe(sector)
            self._weak[sector] = 1
            return
        for place in range(start, start + self.sector_size):
            rising = ~self.cells[place] & 0xFF
            if step == 1:
                rising &= self._chance.below(256)
            self.cells[place] |= rising & self._chance.below(256)
            if rising and not self._chance.below(8):
                self._unsure[place] = rising & self._chance.below(256)

    def _wipe(self, sector: int) -> None:
        start = sector * self.sector_size
        self.cells[start : start + self.sector_size] = b"\xff" * self.sector_size
        for place in [p for p in self._unsure if start <= p < start + self.sector_size]:
            del self._unsure[place]
