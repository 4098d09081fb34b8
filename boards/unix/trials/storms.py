"""Row 8: storms on a board's plain twin, its drives watched; and row 10's stalls: the rules stop in a storm.

The watch knows the limits from the wiring alone and looks at the drives alone, each millisecond: how long
each is on, how hot that makes it, what is drawn when one joins others.
"""

from boards.unix.trials.hammer import Hammer
from boards.unix.trials.tally import Tally
from boards.unix.trials.trial_machine import Trial
from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.devices import cells as c

GUARD_MS = 1  # a pulse may last one turn of the callback longer than commanded
PIECE = 20_000
RENEWED = 100  # the rules are heard of once in so many milliseconds,
DISARMED = 10  # and once in so many of those they disarm
FLIPPER = "flipper"


class Watch:
    """Heat is counted in 1/100 ms of on-time; a winding starts half hot, as the board reckons it."""

    def __init__(self, tally: Tally) -> None:
        self._tally = tally
        rows = Trial.COILS
        told = {row[0]: row for row in Trial.HEAT}
        usual = {row[0]: row for row in c.BUDGETS}
        self._on = [0] * len(rows)
        self._draws = [told[row[0]][1] if row[0] in told else 0 for row in rows]
        self._flips = [row[1] == FLIPPER for row in rows]
        bears = [told[row[0]][2:4] if row[0] in told else usual[row[1]][1:3] for row in rows]
        self._cools = [row[1] for row in bears]
        self._most = [max(bears[i][0], 2 * rows[i][3]) * 100 if rows[i][3] else 0 for i in range(len(rows))]
        self._heat = [most // 2 for most in self._most]

    def see(self, driven: int, where: str) -> None:
        """One millisecond."""
        drawn = 0
        fresh = False
        for i in range(len(Trial.COILS)):
            name, longest, drive = Trial.COILS[i][0], Trial.COILS[i][3], Trial.COILS[i][5]
            on = driven >> drive - 1 & 1
            self._on[i] = self._on[i] + 1 if on else 0
            if on and (self._on[i] > 1 or not self._flips[i]):
                drawn += self._draws[i]
                fresh = fresh or self._on[i] == 1
            if not longest:
                continue
            self._tally.most("longest on, ms", self._on[i])
            if self._on[i] > longest + GUARD_MS:
                self._tally.failed(
                    f"{where}: '{name}' was on for {self._on[i]} ms, its limit is {longest} ms"
                )
            self._heat[i] = max(0, self._heat[i] - self._cools[i]) + 100 * on
            if self._most[i] and self._heat[i] > self._most[i] + 100 * GUARD_MS:
                self._tally.failed(f"{where}: '{name}' is {self._heat[i]} hot, it bears {self._most[i]}")
        if fresh:  # a flipper is never refused; another coil is, beside one
            self._tally.most("most drawn where a coil joined, mA", drawn)
            if drawn > Trial.SUPPLY_MA:
                self._tally.failed(f"{where}: {drawn} mA at once, the supply bears {Trial.SUPPLY_MA}")


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` changes of contacts, in pieces that each start with half-hot coils."""
    tally = Tally()
    piece = 0
    while tally.ran < count:
        hammer = Hammer(Trial, seed + piece)
        chance = Stream(seed + piece, 8)
        watch = Watch(tally)
        ms = 0
        while ms < PIECE and tally.ran + hammer.changes < count:
            ms += 1
            hammer.shake()
            if not chance.below(RENEWED):
                hammer.core.renew(chance.below(DISARMED) != 0, hammer.now)
            hammer.tick()
            hammer.take()
            watch.see(hammer.driven(), f"ms {ms} of seed {seed + piece}")
        tally.ran += hammer.changes
        tally.tally("milliseconds", ms)
        tally.tally("fired", hammer.reports[c.FIRED])
        tally.tally("refused", hammer.reports[c.REFUSED])
        piece += 1
    return tally


def stalls(tally: Tally, count: int, seed: int) -> None:
    """The rules stop at a random moment of a storm: every pulsed coil is off in time, flippers fall.

    The callback goes on; what stops the callback itself is the guard's to answer.
    """
    chance = Stream(seed, 10)
    longest = max([row[3] for row in Trial.COILS]) + GUARD_MS
    for trial in range(count):
        hammer = Hammer(Trial, seed + trial, chance.below(1 << 14) << 16 & ticks.MASK)
        for _ in range(50 + chance.below(350)):
            hammer.core.renew(True, hammer.now)
            _pass(hammer)
        tally.ran += 1
        tally.tally("stalls with a coil on", 1 if hammer.driven() else 0)
        for _ in range(c.LEASE_MS + longest):
            _pass(hammer)
        if hammer.driven():
            tally.failed(f"stall {trial}: a drive is on {longest} ms after the lease")


def _pass(hammer: Hammer) -> None:
    hammer.shake()
    hammer.tick()
    hammer.take()
