"""What a driver board senses of itself each millisecond: feed, enable line, door, drains; and what follows.

One array of small integers a board. A drain that is off hangs on the coil bus, so it is judged only while
the bus is well above what its read-back needs to read high (JUDGED_MV): on a falling bus it says nothing.
"""

from firmware.base.viper import const, ptr32

_WATCHED = const(0)  # drives whose drain is judged, drive 1 in bit 0
_CALM_FOR = const(1)  # ms for which the main loop vouches that no current flows unasked
_LOGIC_LOW = const(2)  # the main loop: the 5 V rail is low
_LOW = const(3)  # drains low with their drives off, all of them since LOW_MS
_LOW_MS = const(4)
_HIGH = const(5)  # drains high with their drives on
_HIGH_MS = const(6)
_BLOCKED = const(7)  # drives that are not driven any more
_OPEN = const(8)  # of those, low when off though no current flows: fuse or coil open
_DEAD = const(9)  # of those, high when on: nothing switches
_FED_MS = const(10)
_UNFED_MS = const(11)
_SHUT_MS = const(12)  # the door has been shut for so long
_WITHHELD = const(13)  # DOOR, GUARD, LOGIC: no coil while one stands
_LOCKED = const(14)  # drains that made a fault
_JUDGED_MV = const(15)  # coil bus from which drains are judged: of the board's circuit
_CELLS = const(16)

_DOOR = const(1)
_GUARD = const(2)
_LOGIC = const(4)

_LOCKED_ON = const(1)
_ENABLE_STUCK = const(2)

_LOW_FOR = const(50)  # ms; a released coil has let go by then
_HIGH_FOR = const(5)
_ENABLE_WITHIN = const(20)  # ms of feeding; the one-shot needs two edges
_DROP_WITHIN = const(12)  # ms without feed; the one-shot lasts 5 to 8
_SHUT_FOR = const(200)  # ms until a door that was shut counts as shut
_MOST = const(1000)  # where counts of ms stand still
_DRAINS = const(0xFFFF)


def sense(s: ptr32, drains: int, sent: int, fed: int, enabled: int, shut: int, bus_mv: int) -> int:
    """One millisecond: a fault's number or 0. Bits as in the cells; `fed`, `enabled`, `shut` are 0 or 1."""
    if fed:
        s[_UNFED_MS] = 0
        if s[_FED_MS] < _MOST:
            s[_FED_MS] += 1
    else:
        s[_FED_MS] = 0
        if s[_UNFED_MS] < _MOST:
            s[_UNFED_MS] += 1
    if shut == 0:
        s[_SHUT_MS] = 0
        s[_WITHHELD] |= _DOOR
    elif s[_SHUT_MS] < _SHUT_FOR:
        s[_SHUT_MS] += 1
    else:
        s[_WITHHELD] &= 7 ^ _DOOR
    withheld = s[_WITHHELD] & _DOOR
    if s[_LOGIC_LOW]:
        withheld |= _LOGIC
    if enabled == 0 and s[_FED_MS] > _ENABLE_WITHIN:
        withheld |= _GUARD
    s[_WITHHELD] = withheld
    if enabled != 0 and s[_UNFED_MS] > _DROP_WITHIN:
        return _ENABLE_STUCK
    if s[_CALM_FOR]:
        s[_CALM_FOR] -= 1
    if withheld != 0 or bus_mv < s[_JUDGED_MV]:
        s[_LOW_MS] = 0
        s[_HIGH_MS] = 0
        return 0
    # A drain that stays high while its drive is on: that coil is given up.
    high = s[_WATCHED] & drains & sent & (_DRAINS ^ s[_BLOCKED])
    if high == 0:
        s[_HIGH_MS] = 0
    else:
        if s[_HIGH_MS] == 0 or s[_HIGH] & high == 0:
            s[_HIGH] = high
            s[_HIGH_MS] = 0
        s[_HIGH] &= high
        s[_HIGH_MS] += 1
        if s[_HIGH_MS] > _HIGH_FOR:
            s[_DEAD] |= s[_HIGH]
            s[_BLOCKED] |= s[_HIGH]
            s[_HIGH_MS] = 0
    # A drain that stays low while its drive is off: locked on, unless it is known that no current flows.
    low = s[_WATCHED] & (_DRAINS ^ ((sent | drains) & _DRAINS)) & (_DRAINS ^ s[_OPEN])
    if low == 0:
        s[_LOW_MS] = 0
        return 0
    if s[_LOW_MS] == 0 or s[_LOW] & low == 0:
        s[_LOW] = low
        s[_LOW_MS] = 0
    s[_LOW] &= low
    s[_LOW_MS] += 1
    if s[_LOW_MS] <= _LOW_FOR:
        return 0
    s[_LOW_MS] = 0
    if s[_CALM_FOR] == 0:
        s[_LOCKED] = s[_LOW]
        return _LOCKED_ON
    s[_OPEN] |= s[_LOW]
    s[_BLOCKED] |= s[_LOW]
    return 0


# What other modules need; see the package.
(
    FED_MS, UNFED_MS,
    WATCHED, CALM_FOR, LOGIC_LOW, BLOCKED, OPEN, DEAD, WITHHELD, LOCKED, CELLS, DOOR, GUARD, LOGIC,
    LOCKED_ON, ENABLE_STUCK, LOW_FOR, HIGH_FOR, ENABLE_WITHIN, DROP_WITHIN, SHUT_FOR, DRAINS, JUDGED_MV,
) = (
    _FED_MS, _UNFED_MS,
    _WATCHED, _CALM_FOR, _LOGIC_LOW, _BLOCKED, _OPEN, _DEAD, _WITHHELD, _LOCKED, _CELLS, _DOOR, _GUARD,
    _LOGIC, _LOCKED_ON, _ENABLE_STUCK, _LOW_FOR, _HIGH_FOR, _ENABLE_WITHIN, _DROP_WITHIN, _SHUT_FOR,
    _DRAINS, _JUDGED_MV,
)  # fmt: skip
