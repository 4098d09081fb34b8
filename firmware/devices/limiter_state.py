"""The coil limiter's state, as `native.limiter` lays it out, made of a machine's wiring."""

from array import array

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from firmware.devices.native import limiter as c
from firmware.play.rows import names as names_of

CLASSES = ("queued", "snap", "flipper", "flasher", "motor", "meter")
BUDGETS = (
    # class, on-time that heats it up in ms, percent of on-time borne for ever; common practice, no source
    ("queued", 2000, 5),
    ("snap", 2000, 5),
    ("flipper", 4000, 10),
    ("flasher", 0, 0),
    ("motor", 16000, 50),
    ("meter", 4000, 10),
)
MOST_HEAT = 2 * c.LONGEST_PULSE  # ms of on-time: in 1/1024 ms it stays a small integer
MOST_CURRENT = 1_000_000  # mA, of a coil or the supply


def build(wiring: "Wiring") -> "array[int]":
    """The state of a machine, everything off. `wiring.HEAT` and `wiring.SUPPLY_MA` may tell more.

    HEAT rows: coil, milliamperes while on, budget in ms of on-time, percent of on-time borne for
    ever. Raises GameError for a name that is not wired, and for a number that is negative or beyond what
    is counted.
    """
    coils = wiring.COILS
    kicks = c.HEAD + len(coils) * c.COIL
    flippers = kicks + len(wiring.REFLEXES) * c.KICK
    roles = flippers + len(wiring.FLIPPERS) * c.FLIPPER_ROW
    ring = roles + len(wiring.SWITCHES)
    requests = ring + c.RING * c.REPORT
    most = len(wiring.REFLEXES) + 2 * len(wiring.FLIPPERS) + 1  # requests that one pass can leave
    a = array("i", [0] * (requests + most * c.REQUEST))
    a[c.SUPPLY] = _within(getattr(wiring, "SUPPLY_MA", 0), 0, MOST_CURRENT, "the supply's milliamperes")
    counts = (len(coils), len(wiring.REFLEXES), len(wiring.FLIPPERS), kicks, flippers, roles, ring)
    for i in range(len(counts)):
        a[c.COILS + i] = counts[i]
    a[c.SWITCHES] = len(wiring.SWITCHES)
    a[c.AT_REQUESTS] = requests
    _coils(a, coils, getattr(wiring, "HEAT", ()))
    _reflexes(a, wiring)
    return a


def keep_off(a: "array[int]", drives: int) -> None:
    """Refuse every request for the coils of these drives, drive 1 in bit 0; none of them may be on."""
    for coil in range(a[c.COILS]):
        row = c.HEAD + coil * c.COIL
        if a[row + c.DRIVE] & drives:
            a[row + c.LONGEST] = c.NEVER


def drive_of(a: "array[int]", coil: int) -> int:
    """The drive of a coil, from 1."""
    mask = a[c.HEAD + coil * c.COIL + c.DRIVE]
    number = 0
    while mask >> number:
        number += 1
    return number


def _coils(a: "array[int]", rows: "tuple[CoilRow, ...]", heat: "tuple[HeatRow, ...]") -> None:
    names = names_of(rows)
    for i in range(len(rows)):
        name, kind, _pulse, longest, rest, drive = rows[i]
        _within(longest, 0, c.LONGEST_PULSE, f"the longest on-time of coil '{name}' in ms")
        _within(rest, 0, c.LONGEST_PULSE, f"the rest of coil '{name}' in ms")
        row = c.HEAD + i * c.COIL
        a[row + c.KIND] = CLASSES.index(kind)
        a[row + c.LONGEST] = longest
        a[row + c.REST] = rest
        a[row + c.DRIVE] = 1 << (drive - 1)
        _kind, budget, percent = BUDGETS[CLASSES.index(kind)]
        _budget(a, row, name, budget, percent)
    for each in heat:
        if len(each) != 4:
            raise GameError(f"a row of HEAT has coil, milliamperes, budget and percent, not {each}")
        name, current, budget, percent = each
        row = c.HEAD + _position(names, name, "HEAT") * c.COIL
        a[row + c.CURRENT] = _within(current, 0, MOST_CURRENT, f"the milliamperes of coil '{name}'")
        _budget(a, row, name, budget, percent)


def _budget(a: "array[int]", row: int, name: str, budget: int, percent: int) -> None:
    """Half of it must bear the longest pulse, since half is used up at start."""
    _within(budget, 0, MOST_HEAT, f"the heat budget of coil '{name}' in ms")
    _within(percent, 0, 100, f"the percent of on-time of coil '{name}'")
    longest = a[row + c.LONGEST]
    if longest and budget:
        a[row + c.BUDGET] = max(budget, longest * 2) * c.UNIT
        a[row + c.COOLS] = c.UNIT * percent // 100
        a[row + c.HEAT] = a[row + c.BUDGET] // 2


def _reflexes(a: "array[int]", wiring: "Wiring") -> None:
    switches = names_of(wiring.SWITCHES)
    coils = names_of(wiring.COILS)
    roles = a[c.AT_ROLES]
    for i in range(len(wiring.REFLEXES)):
        switch, coil, ms, lockout = wiring.REFLEXES[i]
        _within(ms, 1, c.LONGEST_PULSE, f"the pulse of reflex '{switch}' in ms")
        _within(lockout, 0, c.LONGEST_PULSE, f"the lockout of reflex '{switch}' in ms")
        values = (_position(switches, switch, "REFLEXES"), _position(coils, coil, "REFLEXES"), ms, lockout)
        for j in range(len(values)):
            a[a[c.AT_KICKS] + i * c.KICK + j] = values[j]
        a[roles + values[0]] = 1 + i
    for i in range(len(wiring.FLIPPERS)):
        button, stroke, strong, hold, ms = wiring.FLIPPERS[i]
        _within(ms, 1, c.LONGEST_PULSE, f"the strong pulse of flipper '{button}' in ms")
        values4 = (
            _position(switches, button, "FLIPPERS"),
            _position(switches, stroke, "FLIPPERS"),
            _position(coils, strong, "FLIPPERS"),
            _position(coils, hold, "FLIPPERS"),
            ms,
        )
        for j in range(len(values4)):
            a[a[c.AT_FLIPPERS] + i * c.FLIPPER_ROW + j] = values4[j]
        a[roles + values4[0]] = c.BUTTON_ROLE
        a[roles + values4[1]] = c.STROKE_ROLE


def _within(number: int, least: int, most: int, what: str) -> int:
    """The number. Raises GameError when it lies outside."""
    if not least <= number <= most:
        raise GameError(f"{what} is {number}; it may be {least} to {most}")
    return number


def _position(names: "tuple[str, ...]", name: str, table: str) -> int:
    if name not in names:
        raise GameError(f"'{name}' in {table} is not wired{did_you_mean(name, list(names))}")
    return names.index(name)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.wiring import Wiring
    from firmware.play.interfaces import CoilRow, HeatRow
