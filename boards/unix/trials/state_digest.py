"""What limiter and scan leave in every cell of their state, as one number that two machines can compare.

The texts of this file, of `contact_storm` and of a wiring are also run at a board's prompt, so none is
imported here.
"""

import hashlib
from array import array

REQUESTS = ((5, 30), (5, 70), (2, 25), (4, -1), (5, 0), (0, -7), (3, 1 << 29), (4, 1 << 19), (4, 90))
MOODS = ((6, 8, 12, 30, 50, 90), (1, 3, 12, 40, 150, 900, 2600), (4, 400, 1900, 1998, 1999, 2100, 2300))
MOOD_MS = 3000


class StateDigest:
    """Runs a `ContactStorm` of the SmallMachine; `chance` draws what the rules ask for meanwhile."""

    def __init__(self, storm: "ContactStorm", chance: "Stream") -> None:
        self._storm = storm
        self._chance = chance
        self._last = b""
        self.fired = 0
        self.edges = 0

    def run(self, count: int) -> str:
        """SHA-256, in hex, over what it gave before and the state after each of `count` more milliseconds."""
        total = hashlib.sha256(self._last)
        storm = self._storm
        for _ in range(count):
            self._ask()
            storm.shake()
            storm.tick()
            total.update(array("i", storm.limiter.state))
            total.update(storm.scan.state)
            storm.take()
        self._last = total.digest()
        self.fired = storm.reports[1]
        self.edges = storm.edges
        return self._last.hex()

    def _ask(self) -> None:
        storm = self._storm
        drawn = self._chance.below(MOOD_MS)
        if drawn < 12:
            storm.limiter.renew(drawn != 0, storm.now)
        elif drawn < 24:
            coil, ms = REQUESTS[self._chance.below(len(REQUESTS))]
            storm.limiter.fire(coil, ms, storm.now)
        elif drawn == 24:
            storm.waits = MOODS[self._chance.below(len(MOODS))]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.unix.trials.contact_storm import ContactStorm
    from firmware.base.chance import Stream
