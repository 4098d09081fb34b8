"""Coil limiter and contact scan under random contacts: bounces, hits and rests of every switch."""

from array import array

from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter as c
from firmware.devices.native import scanner
from firmware.devices.scan import Scan, place

SOON = (6, 8, 12, 30, 50, 90)  # ms between changes of a contact that keeps changing
MIXED = (1, 3, 12, 40, 150, 900, 2600)
CHATTER = (0, 0, 1, 2, 4, 9)  # 0: it changes again in the next millisecond
DISAGREE = 50  # one of so many samples of a changing group differs from its second half


class ContactStorm:
    """Scan, debounce, reflexes and coil limits of one wiring, a millisecond at a time."""

    def __init__(self, wiring: "Wiring", seed: int, start: int = ticks.MASK - 5000) -> None:
        self.now = start
        self.limiter = CoilLimiter(wiring)
        self.limiter.begin(start)
        self.scan = Scan(wiring.SWITCHES, self.limiter)
        self.edges = 0
        self.changes = 0
        self.reports = [0, 0, 0, 0]  # by what happened, see native.limiter
        self.waits = SOON if seed % 2 else MIXED
        self._chance = Stream(seed, 15)
        self._places = [place(name, row, column) for name, _kind, _zone, row, column in wiring.SWITCHES]
        self._left = array("i", [0] * len(self._places))
        self._one = array("i", [0] * scanner.GROUPS)
        self._two = array("i", [0] * scanner.GROUPS)
        for _ in range(scanner.PRIMING):
            self.tick()

    def shake(self) -> None:
        """Change contacts for the next millisecond."""
        chance = self._chance
        waits = self.waits
        left = self._left
        one = self._one
        two = self._two
        for group in range(scanner.GROUPS):
            two[group] = one[group]
        for i in range(len(left)):
            left[i] -= 1
            if left[i] < 0:
                drawn = chance.below(len(waits) * DISAGREE)
                left[i] = waits[drawn // DISAGREE]
                place = self._places[i]
                one[place >> 4] ^= 1 << (place & 15)
                self.changes += 1
                if drawn % DISAGREE:
                    two[place >> 4] ^= 1 << (place & 15)

    def tick(self) -> None:
        """One millisecond of the callback: scan, reflexes, limits."""
        self.now = ticks.add(self.now, 1)
        self.scan.step(self._one, self._two, self.now)

    def take(self) -> None:
        """Take edges and reports, as the rules would."""
        cells = self.scan.state
        while cells[scanner.RING_HELD]:
            cells[scanner.RING_FIRST] = (cells[scanner.RING_FIRST] + 1) % scanner.RING
            cells[scanner.RING_HELD] -= 1
            self.edges += 1
        at = self.limiter.first()
        while at >= 0:
            self.reports[self.limiter.state[at]] += 1
            self.limiter.drop_first()
            at = self.limiter.first()

    def driven(self) -> int:
        """Drives that are on, drive 1 in bit 0."""
        return self.limiter.state[c.DRIVEN]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.wiring import Wiring
