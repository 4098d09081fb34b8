"""What the board senses of itself, in viper: `firmware.devices.senses.sense` line by line.

All in one function: the callback runs on the stack of what it interrupts, and of that the chip has 8 KB.
`s` is the address of the senses' cells. Constants repeat those of firmware.devices.senses.
"""

import micropython
from micropython import const

_WATCHED = const(0)
_SUPPLIED = const(1)
_CALM_FOR = const(2)
_LOGIC_LOW = const(3)
_LOW = const(4)
_LOW_MS = const(5)
_HIGH = const(6)
_HIGH_MS = const(7)
_BLOCKED = const(8)
_OPEN = const(9)
_DEAD = const(10)
_FED_MS = const(11)
_UNFED_MS = const(12)
_SHUT_MS = const(13)
_WITHHELD = const(14)
_LOCKED = const(15)
_DOOR = const(1)
_GUARD = const(2)
_LOGIC = const(4)
_LOCKED_ON = const(1)
_ENABLE_STUCK = const(2)
_LOW_FOR = const(50)
_HIGH_FOR = const(5)
_ENABLE_WITHIN = const(20)
_DROP_WITHIN = const(12)
_SHUT_FOR = const(200)
_MOST = const(1000)
_DRAINS = const(0xFFFF)


@micropython.viper
def sense(s: ptr32, drains: int, sent: int, fed: int, enabled: int, shut: int) -> int:
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
    if enabled == 0:
        if s[_FED_MS] > _ENABLE_WITHIN:
            withheld |= _GUARD
    s[_WITHHELD] = withheld
    if enabled:
        if s[_UNFED_MS] > _DROP_WITHIN:
            return _ENABLE_STUCK
    if s[_CALM_FOR]:
        s[_CALM_FOR] -= 1
    if withheld or s[_SUPPLIED] == 0:
        s[_LOW_MS] = 0
        s[_HIGH_MS] = 0
        return 0
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
    low = s[_WATCHED] & (_DRAINS ^ drains) & (_DRAINS ^ (sent & _DRAINS)) & (_DRAINS ^ s[_OPEN])
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
