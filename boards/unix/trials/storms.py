"""Row 8: storms on limiter and scan, the drives watched; and row 10's stalls: the rules stop in a storm.

The watch knows the limits from the wiring alone and looks at the drives alone, each millisecond: how long
each is on, how hot that makes it, what is drawn when one joins others.
"""

from boards.unix.trials.contact_storm import CHATTER, MIXED, SOON, ContactStorm
from boards.unix.trials.small_machine import SmallMachine
from boards.unix.trials.tally import Tally
from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.devices.limiter_state import BUDGETS
from firmware.devices.native import limiter as c

GUARD_MS = 1  # a pulse may last one turn of the callback longer than commanded
PIECE = 50_000  # changes
MOODS = (CHATTER, SOON, MIXED)
OFTEN = (8, 1, 1)
MOOD_MS = 500  # a mood lasts about so long
RENEWED = 100  # the rules are heard of once in so many milliseconds,
DISARMED = 10  # and once in so many of those they disarm
FLIPPER = "flipper"


class Winding:
    """One coil. Heat is in 1/100 ms of on-time and starts at half its budget, as on the board.

    `heats` gives mA, budget in ms and percent of on-time borne by coil, `usual` budget and percent by class.
    """

    def __init__(
        self, row: "CoilRow", heats: "dict[str, tuple[int, int, int]]", usual: "dict[str, tuple[int, int]]"
    ) -> None:
        self.name, kind, _pulse, self.longest, _rest, drive = row
        self.drive = 1 << drive - 1
        self.flips = kind == FLIPPER
        self.draws, budget, self.cools = heats.get(self.name) or (0,) + usual[kind]
        self.most = max(budget, 2 * self.longest) * 100 if self.longest else 0
        self.heat = self.most // 2
        self.seen = 0  # when its heat was reckoned
        self.on = 0  # for so many ms


class DriveMonitor:
    """Checks the drives each millisecond against the limits of the wiring; what is off cools."""

    def __init__(self, tally: Tally, seed: int) -> None:
        heats = {name: (draws, budget, percent) for name, draws, budget, percent in SmallMachine.HEAT}
        usual = {kind: (budget, percent) for kind, budget, percent in BUDGETS}
        self._tally = tally
        self._seed = seed
        self._windings = [Winding(row, heats, usual) for row in SmallMachine.COILS]
        self._before = 0
        self.ms = 0

    def sample(self, driven: int) -> None:
        """One millisecond."""
        self.ms += 1
        looked = driven | self._before
        self._before = driven
        if not looked:
            return
        drawn = 0
        fresh = False
        for winding in self._windings:
            if not looked & winding.drive:
                continue
            if not driven & winding.drive:
                winding.on = 0
                continue
            winding.on += 1
            if winding.on > 1 or not winding.flips:
                drawn += winding.draws
                fresh = fresh or winding.on == 1
            if winding.longest:
                self._limits(winding)
        if fresh:  # a flipper is never refused; another coil is, beside one
            self._tally.most("most drawn where a coil joined, mA", drawn)
            if drawn > SmallMachine.SUPPLY_MA:
                self._failed(f"{drawn} mA at once, the supply bears {SmallMachine.SUPPLY_MA}")

    def _limits(self, winding: Winding) -> None:
        self._tally.most("longest on, ms", winding.on)
        if winding.on > winding.longest + GUARD_MS:
            self._failed(f"'{winding.name}' was on for {winding.on} ms, its limit is {winding.longest} ms")
        past = self.ms - winding.seen
        winding.seen = self.ms
        winding.heat = max(0, winding.heat - past * winding.cools) + 100
        if winding.most and winding.heat > winding.most + 100 * GUARD_MS:
            self._failed(f"'{winding.name}' is {winding.heat} hot, it bears {winding.most}")

    def _failed(self, words: str) -> None:
        self._tally.failed(f"ms {self.ms} of seed {self._seed}: {words}")


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` changes of contacts, in pieces that each start with half-hot coils."""
    tally = Tally()
    piece = 0
    while tally.ran < count:
        _piece(tally, min(PIECE, count - tally.ran), seed + piece)
        piece += 1
    return tally


def _piece(tally: Tally, changes: int, seed: int) -> None:
    storm = ContactStorm(SmallMachine, seed)
    chance = Stream(seed, 8)
    watch = DriveMonitor(tally, seed)
    while storm.changes < changes:
        drawn = chance.below(MOOD_MS)
        if not drawn:
            storm.waits = MOODS[chance.weighted(OFTEN)]
        elif drawn % RENEWED == 1:
            storm.limiter.renew(chance.below(DISARMED) != 0, storm.now)
        storm.shake()
        storm.tick()
        storm.take()
        watch.sample(storm.driven())
    tally.ran += storm.changes
    tally.count("milliseconds", watch.ms)
    tally.count("fired", storm.reports[c.FIRED])
    tally.count("refused", storm.reports[c.REFUSED])


def stalls(tally: Tally, count: int, seed: int) -> None:
    """The rules stop at a random moment of a storm: every pulsed coil is off in time, flippers fall.

    The callback goes on; what stops the callback itself is the guard's to answer.
    """
    chance = Stream(seed, 10)
    longest = max([longest for _name, _kind, _pulse, longest, _rest, _drive in SmallMachine.COILS]) + GUARD_MS
    for trial in range(count):
        storm = ContactStorm(SmallMachine, seed + trial, chance.below(1 << 14) << 16 & ticks.MASK)
        for _ in range(50 + chance.below(350)):
            storm.limiter.renew(True, storm.now)
            _pass(storm)
        tally.ran += 1
        tally.count("stalls with a coil on", 1 if storm.driven() else 0)
        for _ in range(c.LEASE_MS + longest):
            _pass(storm)
        if storm.driven():
            tally.failed(f"stall {trial}: a drive is on {longest} ms after the lease")


def _pass(storm: ContactStorm) -> None:
    storm.shake()
    storm.tick()
    storm.take()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import CoilRow
