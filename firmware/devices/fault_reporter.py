"""What a board sensed, reported to the operator: each thing once while it lasts, by its name."""

from firmware.devices.native import limiter as c
from firmware.devices.native import senses

WITHHELD = ((senses.DOOR, "interlock_open"), (senses.GUARD, "guard_not_enabled"), (senses.LOGIC, "logic_low"))
VOLTS_LOW = "volts_low"
OPEN = "coil_open"  # with the coil's number
DEAD = "coil_not_switched"
UNDECLARED = "coil_undeclared"  # it was asked for, and stays off: nothing is known of its load


class FaultReporter:
    """Carries a board's senses to a fault log."""

    def __init__(self, supply: "SupplyMonitor", limiter: "array[int]") -> None:
        self._supply = supply
        self._limiter = limiter
        self._withheld = 0
        self._blocked = supply.undeclared
        self._unknown = supply.undeclared  # of those, what nobody asked for yet
        self._low = False

    def report(self, faults: "Faults", supplied: bool) -> bool:
        """Report what is new; whether coils began to be withheld.

        `supplied`: the coil supply is switched on and has had its time, so low volts are a fault.
        """
        s = self._supply.state
        new = s[senses.WITHHELD] & ~self._withheld
        self._withheld = s[senses.WITHHELD]
        for bit, name in WITHHELD:
            if new & bit:
                faults.report(name)
        blocked = s[senses.BLOCKED] & ~self._blocked
        if blocked:
            self._blocked |= blocked
            self._report_coils(faults, blocked & s[senses.OPEN], OPEN)
            self._report_coils(faults, blocked & s[senses.DEAD], DEAD)
        asked = self._limiter[c.DRIVEN] & self._unknown
        if asked:
            self._unknown &= ~asked
            self._report_coils(faults, asked, UNDECLARED)
        low = supplied and self._supply.volts_low
        if low and not self._low and not s[senses.WITHHELD]:
            faults.report(VOLTS_LOW)
        self._low = low
        return new != 0

    def _report_coils(self, faults: "Faults", drives: int, name: str) -> None:
        for coil in range(self._limiter[c.COILS]):
            if self._limiter[c.HEAD + coil * c.COIL + c.DRIVE] & drives:
                faults.report(name, coil)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array

    from firmware.devices.supply_monitor import SupplyMonitor
    from firmware.play.faults import Faults
