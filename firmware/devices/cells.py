"""The memory of coil limits and reflexes: one array of small integers, laid out here.

A board's callback works on the same cells as the plain `core.Core`, so the two can be compared
cell by cell. Times are ticks of period 2^30, heat is on-time in 1/1024 ms.
"""

from array import array

from firmware.base.errors import GameError
from firmware.charts.near import meant

HOLD = -1
CLASSES = ("queued", "snap", "flipper", "flasher", "motor", "meter")
FLIPPER = 2

# Head
ARMED = 0
LEASE_END = 1
SUPPLY = 2  # milliamperes that may be predicted at once, 0: not limited
AMPERES = 3  # milliamperes of what is on now
COILS = 4
KICKS = 5
FLIPPERS = 6
AT_KICKS = 7
AT_FLIPPERS = 8
AT_ROLES = 9
AT_RING = 10
RING_FIRST = 11
RING_HELD = 12
RING_LOST = 13
DRIVEN = 14  # drives that are on, drive 1 in bit 0
SWITCHES = 15
HEAD = 16

# Coil
KIND = 0
LONGEST = 1
REST = 2
CURRENT = 3
BUDGET = 4  # 0: bears being on for ever
COOLS = 5  # 1/1024 ms of heat a ms
DRIVE = 6  # its bit in DRIVEN
STATE = 7
READY = 8
USED = 9  # READY counts
END = 10
HEAT = 11
HEAT_AT = 12
COIL = 13
OFF = 0
PULSED = 1
HELD = 2

# Kick: a switch that fires a coil
KICK_SWITCH = 0
KICK_COIL = 1
KICK_MS = 2
LOCKOUT = 3
CLOSED = 4
OPENED = 5
OPEN_ONCE = 6  # OPENED counts
LOCK_END = 7
LOCKED = 8  # LOCK_END counts
REFIRE_AT = 9
RESTING_ON = 10  # REFIRE_AT counts
TURNS = 11
STORM = 12
STORM_AT = 13
DISARMED = 14
KICK = 15

# Flipper
BUTTON = 0
STROKE = 1  # its end-of-stroke switch
STRONG = 2
HOLDING = 3
STRONG_MS = 4
UP = 5
STROKE_SEEN = 6
REPULSE_AT = 7
REPULSED = 8  # REPULSE_AT counts
FLIPPER_ROW = 9

# Role of a switch: 0 none, else 1 + kick, or BUTTON_ROLE, or STROKE_ROLE
BUTTON_ROLE = 100
STROKE_ROLE = 101

RING = 32
REPORT = 3  # what happened, coil, value

FIRED = 1  # value: ms or HOLD
ENDED = 2  # switched off before its time
REFUSED = 3  # value: reason

LEASE_MS = 500
REARM_MS = 5  # a contact must be open for so long before it fires again
REFIRE_MS = 500  # a ball that rests on the switch is kicked again after so long,
REFIRES = 3  # so often,
QUIET_MS = 2000  # and then not before the switch was open for so long
STORM_COST = 200  # a kick fills the storm bucket by this, a ms empties it by one:
STORM_MOST = 4000  # 20 in a burst, then five a second
REPULSE_MS = 334  # the strong winding comes again at most three times a second
FARTHEST = 1 << 20  # ms over which cooling is reckoned at once, so that products stay small

UNIT = 1024
BUDGETS = (
    # class, on-time that heats it up in ms, percent of on-time borne for ever; common practice, no source
    ("queued", 2000, 5),
    ("snap", 2000, 5),
    ("flipper", 4000, 10),
    ("flasher", 0, 0),
    ("motor", 16000, 50),
    ("meter", 4000, 10),
)


def build(wiring: "Any") -> "array[int]":
    """The cells of a machine, everything off. `wiring.HEAT` and `wiring.SUPPLY_MA` may tell more.

    HEAT rows: coil, milliamperes while on, budget in ms of on-time, percent of on-time borne for
    ever. Raises GameError for a name that is not wired.
    """
    coils = wiring.COILS
    sizes = (len(coils) * COIL, len(wiring.REFLEXES) * KICK, len(wiring.FLIPPERS) * FLIPPER_ROW)
    kicks = HEAD + sizes[0]
    flippers = kicks + sizes[1]
    roles = flippers + sizes[2]
    ring = roles + len(wiring.SWITCHES)
    cells = array("i", [0] * (ring + RING * REPORT))
    cells[SUPPLY] = getattr(wiring, "SUPPLY_MA", 0)
    counts = (len(coils), len(wiring.REFLEXES), len(wiring.FLIPPERS), kicks, flippers, roles, ring)
    for i in range(len(counts)):
        cells[COILS + i] = counts[i]
    cells[SWITCHES] = len(wiring.SWITCHES)
    _coils(cells, coils, getattr(wiring, "HEAT", ()))
    _reflexes(cells, wiring)
    return cells


def _coils(cells: "array[int]", rows: "Any", heat: "Any") -> None:
    names = [row[0] for row in rows]
    for i in range(len(rows)):
        _name, kind, _pulse, longest, rest, drive = rows[i]
        row = HEAD + i * COIL
        cells[row + KIND] = CLASSES.index(kind)
        cells[row + LONGEST] = longest
        cells[row + REST] = rest
        cells[row + DRIVE] = 1 << (drive - 1)
        _budget(cells, row, longest, BUDGETS[CLASSES.index(kind)][1], BUDGETS[CLASSES.index(kind)][2])
    for each in heat:
        if len(each) != 4:
            raise GameError(f"a row of HEAT has coil, milliamperes, budget and percent, not {each}")
        name, current, budget, percent = each
        row = HEAD + _position(names, name, "HEAT") * COIL
        cells[row + CURRENT] = current
        _budget(cells, row, cells[row + LONGEST], budget, percent)


def _budget(cells: "array[int]", row: int, longest: int, budget: int, percent: int) -> None:
    """Half of it must bear the longest pulse, since half is used up at start."""
    if longest and budget:
        cells[row + BUDGET] = max(budget, longest * 2) * UNIT
        cells[row + COOLS] = UNIT * percent // 100
        cells[row + HEAT] = cells[row + BUDGET] // 2


def _reflexes(cells: "array[int]", wiring: "Any") -> None:
    switches = [row[0] for row in wiring.SWITCHES]
    coils = [row[0] for row in wiring.COILS]
    roles = cells[AT_ROLES]
    for i in range(len(wiring.REFLEXES)):
        switch, coil, ms, lockout = wiring.REFLEXES[i]
        values = (_position(switches, switch, "REFLEXES"), _position(coils, coil, "REFLEXES"), ms, lockout)
        for j in range(len(values)):
            cells[cells[AT_KICKS] + i * KICK + j] = values[j]
        cells[roles + values[0]] = 1 + i
    for i in range(len(wiring.FLIPPERS)):
        button, stroke, strong, hold, ms = wiring.FLIPPERS[i]
        values4 = (
            _position(switches, button, "FLIPPERS"),
            _position(switches, stroke, "FLIPPERS"),
            _position(coils, strong, "FLIPPERS"),
            _position(coils, hold, "FLIPPERS"),
            ms,
        )
        for j in range(len(values4)):
            cells[cells[AT_FLIPPERS] + i * FLIPPER_ROW + j] = values4[j]
        cells[roles + values4[0]] = BUTTON_ROLE
        cells[roles + values4[1]] = STROKE_ROLE


def _position(names: "list[str]", name: str, table: str) -> int:
    if name not in names:
        raise GameError(f"'{name}' in {table} is not wired{meant(name, names)}")
    return names.index(name)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
