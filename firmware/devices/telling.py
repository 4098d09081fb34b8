"""What a board sensed, told to the operator: each thing once while it stands, by a name in the fault log."""

from firmware.devices import cells as c
from firmware.devices import senses

WITHHELD = ((senses.DOOR, "interlock_open"), (senses.GUARD, "guard_not_enabled"), (senses.LOGIC, "logic_low"))
VOLTS_LOW = "volts_low"
OPEN = "coil_open"  # with the coil's number
DEAD = "coil_not_switched"


class Telling:
    """Carries a board's senses to a fault log."""

    def __init__(self, look: "Look", core: "array[int]") -> None:
        self._look = look
        self._core = core
        self._withheld = 0
        self._blocked = 0
        self._low = False

    def tell(self, faults: "Faults") -> bool:
        """Report what is new; whether coils began to be withheld."""
        s = self._look.cells
        new = s[senses.WITHHELD] & ~self._withheld
        self._withheld = s[senses.WITHHELD]
        for bit, name in WITHHELD:
            if new & bit:
                faults.report(name)
        blocked = s[senses.BLOCKED] & ~self._blocked
        if blocked:
            self._blocked |= blocked
            self._tell_coils(faults, blocked & s[senses.OPEN], OPEN)
            self._tell_coils(faults, blocked & s[senses.DEAD], DEAD)
        if self._look.volts_low and not self._low and not s[senses.WITHHELD]:
            faults.report(VOLTS_LOW)
        self._low = self._look.volts_low
        return new != 0

    def _tell_coils(self, faults: "Faults", drives: int, name: str) -> None:
        for coil in range(self._core[c.COILS]):
            if self._core[c.HEAD + coil * c.COIL + c.DRIVE] & drives:
                faults.report(name, coil)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array

    from firmware.devices.senses import Look
    from firmware.play.faults import Faults
