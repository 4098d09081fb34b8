"""Bring-up of a board: one drive at low voltage, until door, feed wire and reset were seen to fail safe.

A board in bring-up refuses every other coil, judges no other drain, and counts a coil bus above LOW_MV as a
fault. `seen` is what a board keeps over a restart: WORKED, and a bit for each trial.
"""

from firmware.devices.limiter_state import keep_off
from firmware.devices.native import senses as n

FILE = "/bring_up"  # on the board: drive and `seen`
LOW_MV = 15_000
HIGH_FOR = 3  # samples in a row
DOOR = 1
WIRE = 2
RESET = 4
WORKED = 8  # it was fed, enabled and supplied before: without that a trial shows nothing
TRIALS = ((DOOR, "door"), (WIRE, "feed wire"), (RESET, "reset"))
ALL = DOOR | WIRE | RESET
DRIVES = (1 << 26) - 1


class BringUp:
    """The trials of one board. `drive` is the one that may be driven, from 1; 0: none."""

    def __init__(self, drive: int, seen: int) -> None:
        self.drive = drive
        self.seen = seen
        self._works = False
        self._high = 0

    def others(self) -> int:
        """The drives that stay off, drive 1 in bit 0."""
        return DRIVES ^ (1 << self.drive >> 1)

    def confine(self, supply: "SupplyMonitor", *limiters: "array[int]") -> None:
        """Confine a board to the one drive; `limiters`: its limiter's state, and what a new run copies."""
        supply.confine(self.others())
        for state in limiters:
            keep_off(state, self.others())

    def is_passed(self) -> bool:
        """Whether every trial was seen to fail safe."""
        return self.seen & ALL == ALL

    def left(self) -> str:
        """The trials that were not seen, in words."""
        return ", ".join([name for bit, name in TRIALS if not self.seen & bit])

    def restarted(self) -> None:
        """The chip was reset while the program was at work, and the enable line was found off."""
        if self.seen & WORKED:
            self.seen |= RESET

    def sample(self, s: "array[int]", sent: int, bus_mv: int) -> bool:
        """Look at the senses, some fifty times a second, with no fault; whether the coil bus is too high.

        `sent`: what the drive chain holds. An enable line that stays on without its feed is a fault of the
        senses, so that a door that is open for long enough without one shows that it fell.
        """
        self._high = self._high + 1 if bus_mv > LOW_MV else 0
        withheld = s[n.WITHHELD]
        if not withheld:
            if s[n.FED_MS] > n.ENABLE_WITHIN and bus_mv >= s[n.JUDGED_MV]:
                self._works = True
                self.seen |= WORKED
        elif self._works and not sent:
            if withheld & n.DOOR:
                if s[n.UNFED_MS] > n.ENABLE_WITHIN:
                    self._count(DOOR)
            elif withheld & n.GUARD:
                self._count(WIRE)
        return self._high >= HIGH_FOR

    def _count(self, trial: int) -> None:
        self.seen |= trial
        self._works = False


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array

    from firmware.devices.supply_monitor import SupplyMonitor
