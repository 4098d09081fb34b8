"""What a driver board senses of itself: enable line, door, drains, volts and amperes; and what follows.

`sense` is what a board's callback does once a millisecond, on cells laid out here; a board has it in its
own fast form, line by line. `Look` is the main loop's part, some fifty times a second.
"""

from array import array

from firmware.devices import cells as c

# Cells
WATCHED = 0  # drives whose drain is judged, drive 1 in bit 0
SUPPLIED = 1  # the main loop: the coil bus is up, a drain that is off must be high
CALM_FOR = 2  # ms for which the main loop vouches that no current flows unasked
LOGIC_LOW = 3  # the main loop: the 5 V rail is low
LOW = 4  # drains low with their drives off, all of them since LOW_MS
LOW_MS = 5
HIGH = 6  # drains high with their drives on
HIGH_MS = 7
BLOCKED = 8  # drives that are not driven any more
OPEN = 9  # of those, low when off though no current flows: fuse or coil open
DEAD = 10  # of those, high when on: nothing switches
FED_MS = 11
UNFED_MS = 12
SHUT_MS = 13  # the door has been shut for so long
WITHHELD = 14  # DOOR, GUARD, LOGIC: no coil while one stands
LOCKED = 15  # drains that made a fault
CELLS = 16

DOOR = 1
GUARD = 2
LOGIC = 4

# Faults of `sense` and `Look`; a board adds its own
NONE = 0
LOCKED_ON = 1
ENABLE_STUCK = 2
OVERDRAWN = 3

LOW_FOR = 50  # ms; a released coil has let go by then
HIGH_FOR = 5
ENABLE_WITHIN = 20  # ms of feeding; the one-shot needs two edges
DROP_WITHIN = 12  # ms without feed; the one-shot lasts 5 to 8
SHUT_FOR = 200  # ms until a door that was shut counts as shut
MOST = 1000  # where counts of ms stand still
DRAINS = 0xFFFF

BUS_UP_MV = 12_000
LOGIC_LOW_MV = 4500  # the reset supervisor of the reference circuit acts at 4.5 V, too
LOGIC_GOOD_MV = 4650
IN_A_ROW = 3  # looks
UNASKED_MA = 1000  # above what is driven; less is noise, or a hold winding, which bears it
MARGIN = 5  # a fifth more than predicted may be drawn
PROOF_MA = 3000  # so much must be predicted, and half of it seen, before the current sensor is believed
CALM_MS = 30


def new() -> "array[int]":
    """Cells of a board that was just switched on: the door counts as open until it was seen shut."""
    s = array("i", [0] * CELLS)
    s[WITHHELD] = DOOR
    return s


def sense(s: "array[int]", drains: int, sent: int, fed: int, enabled: int, shut: int) -> int:
    """One millisecond: a fault's number or 0. Bits as in the cells; `fed`, `enabled`, `shut` are 0 or 1."""
    _count_feed(s, fed)
    _count_door(s, shut)
    withheld = s[WITHHELD] & DOOR
    if s[LOGIC_LOW]:
        withheld |= LOGIC
    if not enabled and s[FED_MS] > ENABLE_WITHIN:
        withheld |= GUARD
    s[WITHHELD] = withheld
    if enabled and s[UNFED_MS] > DROP_WITHIN:
        return ENABLE_STUCK
    if s[CALM_FOR]:
        s[CALM_FOR] -= 1
    if withheld or not s[SUPPLIED]:
        s[LOW_MS] = 0
        s[HIGH_MS] = 0
        return NONE
    _judge_high(s, s[WATCHED] & drains & sent & (DRAINS ^ s[BLOCKED]))
    return _judge_low(s, s[WATCHED] & (DRAINS ^ drains) & (DRAINS ^ (sent & DRAINS)) & (DRAINS ^ s[OPEN]))


def _count_feed(s: "array[int]", fed: int) -> None:
    if fed:
        s[UNFED_MS] = 0
        if s[FED_MS] < MOST:
            s[FED_MS] += 1
    else:
        s[FED_MS] = 0
        if s[UNFED_MS] < MOST:
            s[UNFED_MS] += 1


def _count_door(s: "array[int]", shut: int) -> None:
    if not shut:
        s[SHUT_MS] = 0
        s[WITHHELD] |= DOOR
    elif s[SHUT_MS] < SHUT_FOR:
        s[SHUT_MS] += 1
    else:
        s[WITHHELD] &= 7 ^ DOOR


def _judge_high(s: "array[int]", high: int) -> None:
    """A drain that stays high while its drive is on: that coil is given up."""
    if not high:
        s[HIGH_MS] = 0
        return
    if s[HIGH_MS] == 0 or not s[HIGH] & high:
        s[HIGH] = high
        s[HIGH_MS] = 0
    s[HIGH] &= high
    s[HIGH_MS] += 1
    if s[HIGH_MS] > HIGH_FOR:
        s[DEAD] |= s[HIGH]
        s[BLOCKED] |= s[HIGH]
        s[HIGH_MS] = 0


def _judge_low(s: "array[int]", low: int) -> int:
    """A drain that stays low while its drive is off: locked on, unless it is known that no current flows."""
    if not low:
        s[LOW_MS] = 0
        return NONE
    if s[LOW_MS] == 0 or not s[LOW] & low:
        s[LOW] = low
        s[LOW_MS] = 0
    s[LOW] &= low
    s[LOW_MS] += 1
    if s[LOW_MS] <= LOW_FOR:
        return NONE
    s[LOW_MS] = 0
    if not s[CALM_FOR]:
        s[LOCKED] = s[LOW]
        return LOCKED_ON
    s[OPEN] |= s[LOW]
    s[BLOCKED] |= s[LOW]
    return NONE


class Look:
    """The slower part: volts and amperes as the converter gives them."""

    def __init__(self, cells: "array[int]", watched: int, volts_low_mv: int) -> None:
        self.cells = cells
        self.volts_low = False  # of the coil supply: queued coils wait
        self._watched = watched
        self._volts_low_mv = volts_low_mv
        self._logic_low = 0
        self._over = 0
        self._proved = False

    def see(self, coil_mv: int, logic_mv: int, drawn_ma: int, predicted_ma: int) -> int:
        """One look: a fault's number or 0. `predicted_ma` of the drives that are on, −1 when nobody knows."""
        s = self.cells
        self.volts_low = coil_mv < self._volts_low_mv
        s[WATCHED] = self._watched
        s[SUPPLIED] = 1 if coil_mv >= BUS_UP_MV else 0
        self._see_logic(logic_mv)
        return self._see_amperes(drawn_ma, predicted_ma)

    def _see_logic(self, logic_mv: int) -> None:
        if logic_mv >= LOGIC_GOOD_MV:
            self._logic_low = 0
            self.cells[LOGIC_LOW] = 0
        elif logic_mv < LOGIC_LOW_MV and self._logic_low < IN_A_ROW:
            self._logic_low += 1
            if self._logic_low == IN_A_ROW:
                self.cells[LOGIC_LOW] = 1

    def _see_amperes(self, drawn_ma: int, predicted_ma: int) -> int:
        if predicted_ma < 0:
            self._over = 0
            return NONE
        if predicted_ma >= PROOF_MA and drawn_ma * 2 >= predicted_ma:
            self._proved = True
        if drawn_ma <= predicted_ma + predicted_ma // MARGIN + UNASKED_MA:
            self._over = 0
            if self._proved:
                self.cells[CALM_FOR] = CALM_MS
            return NONE
        self._over += 1
        return OVERDRAWN if self._over >= IN_A_ROW else NONE


def predicted(core: "array[int]", sent: int) -> int:
    """Milliamperes of the drives in `sent`; −1 when one of them draws nobody knows what."""
    total = 0
    for coil in range(core[c.COILS]):
        row = c.HEAD + coil * c.COIL
        if core[row + c.DRIVE] & sent:
            if not core[row + c.CURRENT]:
                return -1
            total += core[row + c.CURRENT]
    return total


def watched(wiring: "Any") -> int:
    """Drives whose drain can be judged: pulsed coils on drives 1 to 16, whose winding nothing else drives."""
    mask = 0
    held = [row[0] for row in wiring.COILS if row[5] > 24]
    shared = [row[2] for row in wiring.FLIPPERS if row[3] in held]
    for name, _kind, _pulse, _longest, _rest, drive in wiring.COILS:
        if drive <= 16 and name not in shared:
            mask |= 1 << (drive - 1)
    return mask


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
