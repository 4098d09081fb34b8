"""The supplies of a driver board, sampled by the main loop fifty times a second; which drains to judge.

What has to happen within milliseconds is in `native.senses`.
"""

from array import array

from firmware.devices.native import limiter as c
from firmware.devices.native import senses as n

OVERDRAWN = 3  # a fault beside those of `native.senses`

LOGIC_LOW_MV = 4500  # the reset supervisor of the reference circuit acts at 4.5 V, too
LOGIC_GOOD_MV = 4650
IN_A_ROW = 3  # samples
UNASKED_MA = 1000  # above what is driven; less is noise, or a hold winding, which bears it
MARGIN = 5  # a fifth more than predicted may be drawn
PROOF_MA = 3000  # so much must be predicted, and half of it seen, before the current sensor is believed
CALM_MS = 30
DRIVES = 24  # on the drive chain; above it the held pair, driven by PWM
READ_BACK = 16  # drives 1 to 16 have their drains read back


def new(judged_mv: int) -> "array[int]":
    """Senses of a board that was just switched on: the door counts as open until it was seen shut.

    `judged_mv`: coil bus from which its drains are judged.
    """
    state = array("i", [0] * n.CELLS)
    state[n.WITHHELD] = n.DOOR
    state[n.JUDGED_MV] = judged_mv
    return state


class SupplyMonitor:
    """Volts and amperes of one board; `state` is that of its senses.

    `watched`: drives whose drain is judged; `undeclared`: drives that stay off, for nothing is known of
    their load; drive 1 is bit 0.
    """

    def __init__(self, state: "array[int]", watched: int, volts_low_mv: int, undeclared: int) -> None:
        self.state = state
        self.undeclared = undeclared
        state[n.BLOCKED] = undeclared  # never driven, whatever the limiter grants
        self.volts_low = False  # of the coil supply: queued coils wait
        state[n.WATCHED] = watched
        self._volts_low_mv = volts_low_mv
        self._logic_low = 0
        self._over = 0
        self._proved = False

    def confine(self, drives: int) -> None:
        """Neither drive nor judge these drives, drive 1 in bit 0; queued coils wait no longer for full volts.

        For a board in bring-up, whose other coils are not connected and whose coil bus is low.
        """
        self.state[n.BLOCKED] |= drives
        self.state[n.WATCHED] &= ~drives
        self._volts_low_mv = self.state[n.JUDGED_MV]

    def sample(self, coil_mv: int, logic_mv: int, drawn_ma: int, predicted_ma: int) -> int:
        """OVERDRAWN or 0. `predicted_ma` of the drives that were on, −1 when unknown."""
        self.volts_low = coil_mv < self._volts_low_mv
        self._sample_logic(logic_mv)
        return self._sample_amperes(drawn_ma, predicted_ma)

    def _sample_logic(self, logic_mv: int) -> None:
        if logic_mv >= LOGIC_GOOD_MV:
            self._logic_low = 0
            self.state[n.LOGIC_LOW] = 0
        elif logic_mv < LOGIC_LOW_MV and self._logic_low < IN_A_ROW:
            self._logic_low += 1
            if self._logic_low == IN_A_ROW:
                self.state[n.LOGIC_LOW] = 1

    def _sample_amperes(self, drawn_ma: int, predicted_ma: int) -> int:
        if predicted_ma < 0:
            self._over = 0
            return 0
        if predicted_ma >= PROOF_MA and drawn_ma * 2 >= predicted_ma:
            self._proved = True
        if drawn_ma <= predicted_ma + predicted_ma // MARGIN + UNASKED_MA:
            self._over = 0
            if self._proved:
                self.state[n.CALM_FOR] = CALM_MS
            return 0
        self._over += 1
        return OVERDRAWN if self._over >= IN_A_ROW else 0


def low_drains(state: "array[int]", drains: int, bus_mv: int) -> int:
    """With every drive off: those whose drain reads low though the coil bus lets it read high."""
    return state[n.WATCHED] & (n.DRAINS ^ drains) if bus_mv >= state[n.JUDGED_MV] else 0


def predicted(limiter: "array[int]", sent: int) -> int:
    """Milliamperes of the drives in `sent`; −1 when the current of one of them is unknown."""
    total = 0
    for coil in range(limiter[c.COILS]):
        row = c.HEAD + coil * c.COIL
        if limiter[row + c.DRIVE] & sent:
            if not limiter[row + c.CURRENT]:
                return -1
            total += limiter[row + c.CURRENT]
    return total


def watched(wiring: "Wiring") -> int:
    """Drives whose drain can be judged: pulsed coils on drives 1 to 16, whose winding nothing else drives."""
    mask = 0
    held = [name for name, _kind, _pulse, _longest, _rest, drive in wiring.COILS if drive > DRIVES]
    shared = [strong for _button, _stroke, strong, hold, _ms in wiring.FLIPPERS if hold in held]
    for name, _kind, _pulse, _longest, _rest, drive in wiring.COILS:
        if drive <= READ_BACK and name not in shared:
            mask |= 1 << (drive - 1)
    return mask


def undeclared(wiring: "Wiring") -> int:
    """Drives that stay off, since no row of HEAT declares the load of their coil."""
    known = [name for name, current, _budget, _percent in getattr(wiring, "HEAT", ()) if current > 0]
    mask = 0
    for name, _kind, _pulse, _longest, _rest, drive in wiring.COILS:
        if name not in known:
            mask |= 1 << (drive - 1)
    return mask


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.wiring import Wiring
