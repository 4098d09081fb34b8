"""What limiter and scan leave in every cell of their state, as one number that two machines can compare.

The text of this file, of `hammer` and of a wiring is also run at a board's prompt: it imports none of them.
"""

import hashlib

REQUESTS = ((5, 30), (5, 70), (2, 25), (4, -1), (5, 0), (0, -7), (3, 1 << 29), (4, 1 << 19), (4, 90))
MOODS = ((6, 8, 12, 30, 50, 90), (1, 3, 12, 40, 150, 900, 2600), (4, 400, 1900, 1998, 1999, 2100, 2300))
MOOD_MS = 3000


class StateDigest:
    """Runs a `Hammer` of the Trial machine; `chance` draws what the rules ask for meanwhile."""

    def __init__(self, hammer: "Hammer", chance: "Stream") -> None:
        self._hammer = hammer
        self._chance = chance
        self._last = b""
        self.fired = 0
        self.edges = 0

    def run(self, count: int) -> str:
        """SHA-256, in hex, over what it gave before and the state after each of `count` more milliseconds."""
        total = hashlib.sha256(self._last)
        hammer = self._hammer
        for _ in range(count):
            self._ask()
            hammer.shake()
            hammer.tick()
            total.update(hammer.limiter.state)
            total.update(hammer.scan.state)
            hammer.take()
        self._last = total.digest()
        self.fired = hammer.reports[1]
        self.edges = hammer.edges
        return self._last.hex()

    def _ask(self) -> None:
        hammer = self._hammer
        drawn = self._chance.below(MOOD_MS)
        if drawn < 12:
            hammer.limiter.renew(drawn != 0, hammer.now)
        elif drawn < 24:
            coil, ms = REQUESTS[self._chance.below(len(REQUESTS))]
            hammer.limiter.fire(coil, ms, hammer.now)
        elif drawn == 24:
            hammer.waits = MOODS[self._chance.below(len(MOODS))]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.unix.trials.hammer import Hammer
    from firmware.base.chance import Stream
