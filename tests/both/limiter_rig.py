"""A small machine's coil limiter and what it fired; not a test itself."""

from boards.unix.trials.small_machine import SmallMachine
from firmware.base import ticks
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter as c

STARTS = (0, 1_000_000, ticks.MASK - 2500)  # the last wraps in the test
BUMPER, BUMPER_2, SLING_SWITCH, STROKE, BUTTON = 0, 1, 2, 4, 3
KICK, KICK_2, SLING, STRONG, HOLD, EJECT = 0, 1, 2, 3, 4, 5


class Rig:
    """A SmallMachine in which the rules are heard of each millisecond, unless `quiet`."""

    def __init__(self, start=0, wiring=SmallMachine):
        self.limiter = CoilLimiter(wiring)
        self.now = start
        self.limiter.begin(start)
        self.quiet = False

    def run(self, ms):
        for _ in range(ms):
            self.now = ticks.add(self.now, 1)
            if not self.quiet:
                self.limiter.renew(True, self.now)
            self.limiter.tick(self.now)

    def contact(self, switch, closed):
        self.limiter.contact(switch, closed, self.now)

    def reports(self):
        found = []
        at = self.limiter.first()
        while at >= 0:
            found.append(tuple(self.limiter.state[at : at + 3]))
            self.limiter.drop_first()
            at = self.limiter.first()
        return found

    def fired(self):
        """Coils that were fired since the last look."""
        return [coil for what, coil, _ in self.reports() if what == c.FIRED]


def changed(table, row):
    """The small machine with the row of this name in place of its own."""

    class Changed(SmallMachine):
        pass

    rows = tuple([row if one[0] == row[0] else one for one in getattr(SmallMachine, table)])
    setattr(Changed, table, rows)
    return Changed
