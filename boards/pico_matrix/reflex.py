"""Coil limits and reflexes in viper: `firmware.devices.core.Core` line by line, on the same cells; what is
a call there may stand in place here, since a call in the callback takes some 200 bytes of the stack.

`a` is the address of the cells. A shift by two to the left and back is the difference of two ticks:
it carries bit 29 into the sign, as 32-bit arithmetic does (on a 64-bit host it would not).
Constants repeat those of firmware.devices.cells and core, since viper wants them in its own file.
"""

import micropython
from micropython import const

_HOLD = const(-1)
_FLIPPER = const(2)
_ARMED = const(0)
_LEASE_END = const(1)
_SUPPLY = const(2)
_AMPERES = const(3)
_COILS = const(4)
_KICKS = const(5)
_FLIPPERS = const(6)
_AT_KICKS = const(7)
_AT_FLIPPERS = const(8)
_AT_ROLES = const(9)
_AT_RING = const(10)
_RING_FIRST = const(11)
_RING_HELD = const(12)
_RING_LOST = const(13)
_DRIVEN = const(14)
_HEAD = const(16)
_KIND = const(0)
_LONGEST = const(1)
_REST = const(2)
_CURRENT = const(3)
_BUDGET = const(4)
_COOLS = const(5)
_DRIVE = const(6)
_STATE = const(7)
_READY = const(8)
_USED = const(9)
_END = const(10)
_HEAT = const(11)
_HEAT_AT = const(12)
_COIL = const(13)
_OFF = const(0)
_PULSED = const(1)
_HELD = const(2)
_KICK_COIL = const(1)
_KICK_MS = const(2)
_LOCKOUT = const(3)
_CLOSED = const(4)
_OPENED = const(5)
_OPEN_ONCE = const(6)
_LOCK_END = const(7)
_LOCKED = const(8)
_REFIRE_AT = const(9)
_RESTING_ON = const(10)
_TURNS = const(11)
_STORM = const(12)
_STORM_AT = const(13)
_DISARMED = const(14)
_KICK = const(15)
_BUTTON = const(0)
_STROKE = const(1)
_STRONG = const(2)
_HOLDING = const(3)
_STRONG_MS = const(4)
_UP = const(5)
_STROKE_SEEN = const(6)
_REPULSE_AT = const(7)
_REPULSED = const(8)
_FLIPPER_ROW = const(9)
_BUTTON_ROLE = const(100)
_RING = const(32)
_REPORT = const(3)
_FIRED = const(1)
_ENDED = const(2)
_REFUSED = const(3)
_LEASE_MS = const(500)
_REARM_MS = const(5)
_REFIRE_MS = const(500)
_REFIRES = const(3)
_QUIET_MS = const(2000)
_STORM_COST = const(200)
_STORM_MOST = const(4000)
_REPULSE_MS = const(334)
_FARTHEST = const(1048576)
_UNIT = const(1024)
_WHY_TOO_LONG = const(1)
_WHY_RESTING = const(2)
_WHY_HOT = const(6)
_WHY_SUPPLY = const(7)
_WHY_STORM = const(8)
_WHY_RESTED_ON = const(9)
_MASK = const(0x3FFFFFFF)


@micropython.viper
def reason(a: ptr32, coil: int, ms: int, now: int) -> int:
    row = _HEAD + coil * _COIL
    longest = a[row + _LONGEST]
    if ms == _HOLD:
        if longest:
            return _WHY_TOO_LONG
    elif longest != 0 and ms > longest:
        return _WHY_TOO_LONG
    elif int(resting(a, coil, now)):
        return _WHY_RESTING
    end_pulses(a, now)
    if a[row + _BUDGET] != 0 and ms > 0:
        cool(a, row, now)
        if a[row + _HEAT] + ms * _UNIT > a[row + _BUDGET]:
            return _WHY_HOT
    if a[row + _KIND] == _FLIPPER or a[row + _STATE] != 0 or a[_SUPPLY] == 0:
        return 0
    if a[_AMPERES] + a[row + _CURRENT] > a[_SUPPLY]:
        return _WHY_SUPPLY
    return 0


@micropython.viper
def fire(a: ptr32, coil: int, ms: int, now: int) -> int:
    why = int(reason(a, coil, ms, now))
    if why:
        report(a, _REFUSED, coil, why)
        return why
    row = _HEAD + coil * _COIL
    if a[row + _STATE] == 0:
        a[_AMPERES] += a[row + _CURRENT]
        a[_DRIVEN] |= a[row + _DRIVE]
    if ms == _HOLD:
        a[row + _STATE] = _HELD
    else:
        a[row + _STATE] = _PULSED
        a[row + _END] = (now + ms) & _MASK
        a[row + _READY] = (now + ms + a[row + _REST]) & _MASK
        a[row + _USED] = 1
        if a[row + _BUDGET]:
            a[row + _HEAT] += ms * _UNIT
    report(a, _FIRED, coil, ms)
    return 0


@micropython.viper
def off(a: ptr32, coil: int, now: int) -> int:
    end_pulses(a, now)
    row = _HEAD + coil * _COIL
    if a[row + _STATE] == 0:
        return 0
    if a[row + _STATE] == _PULSED and a[row + _BUDGET] != 0:
        heat = a[row + _HEAT] - ((a[row + _END] - now) << 2 >> 2) * _UNIT
        a[row + _HEAT] = heat if heat > 0 else 0
    a[row + _STATE] = _OFF
    a[_AMPERES] -= a[row + _CURRENT]
    a[_DRIVEN] &= -1 ^ a[row + _DRIVE]
    a[row + _READY] = (now + a[row + _REST]) & _MASK
    a[row + _USED] = 1
    report(a, _ENDED, coil, 0)
    return 1


@micropython.viper
def resting(a: ptr32, coil: int, now: int) -> int:
    row = _HEAD + coil * _COIL
    if a[row + _USED] == 0:
        return 0
    left = (a[row + _READY] - now) << 2 >> 2
    if left <= 0 or left > a[row + _LONGEST] + a[row + _REST]:
        a[row + _USED] = 0
        return 0
    return left


@micropython.viper
def end_pulses(a: ptr32, now: int):
    if a[_DRIVEN] == 0:
        return
    row = _HEAD
    last = _HEAD + a[_COILS] * _COIL
    while row < last:
        if a[row + _STATE] == _PULSED:
            if (a[row + _END] - now) << 2 <= 0:
                a[row + _STATE] = _OFF
                a[_AMPERES] -= a[row + _CURRENT]
                a[_DRIVEN] &= -1 ^ a[row + _DRIVE]
        row += _COIL


@micropython.viper
def cool(a: ptr32, row: int, now: int):
    past = (now - a[row + _HEAT_AT]) << 2 >> 2
    a[row + _HEAT_AT] = now
    if past < 0 or past > _FARTHEST:
        past = _FARTHEST
    heat = a[row + _HEAT] - past * a[row + _COOLS]
    a[row + _HEAT] = heat if heat > 0 else 0


@micropython.viper
def renew(a: ptr32, armed: int, now: int):
    a[_LEASE_END] = (now + _LEASE_MS) & _MASK
    a[_ARMED] = armed
    if armed == 0:
        drop(a, now)


@micropython.viper
def is_armed(a: ptr32, now: int) -> int:
    if a[_ARMED]:
        left = (a[_LEASE_END] - now) << 2 >> 2
        if left <= 0 or left > _LEASE_MS:
            a[_ARMED] = 0
            drop(a, now)
    return a[_ARMED]


@micropython.viper
def contact(a: ptr32, switch: int, closed: int, now: int):
    role = a[a[_AT_ROLES] + switch]
    if role >= _BUTTON_ROLE:
        row = a[_AT_FLIPPERS]
        last = row + a[_FLIPPERS] * _FLIPPER_ROW
        while row < last:
            if a[row + _BUTTON] == switch:
                button(a, row, closed, now)
            elif a[row + _STROKE] == switch:
                stroke(a, row, closed, now)
            row += _FLIPPER_ROW
    elif role:
        kick(a, a[_AT_KICKS] + (role - 1) * _KICK, closed, now)


@micropython.viper
def tick(a: ptr32, now: int):
    end_pulses(a, now)
    armed = int(is_armed(a, now))
    row = a[_AT_KICKS]
    last = row + a[_KICKS] * _KICK
    while row < last:
        if a[row + _RESTING_ON]:
            if (a[row + _REFIRE_AT] - now) << 2 <= 0:
                refire(a, row, armed, now)
        row += _KICK


@micropython.viper
def kick(a: ptr32, row: int, closed: int, now: int):
    a[row + _CLOSED] = closed
    if closed == 0:
        a[row + _OPENED] = now
        a[row + _OPEN_ONCE] = 1
        a[row + _RESTING_ON] = 0
        return
    if a[row + _OPEN_ONCE]:
        still = (now - a[row + _OPENED]) << 2 >> 2
        needed = _QUIET_MS if a[row + _DISARMED] else _REARM_MS
        if still >= 0 and still < needed:
            return
    a[row + _DISARMED] = 0
    a[row + _TURNS] = 0
    if a[row + _LOCKED]:
        left = (a[row + _LOCK_END] - now) << 2 >> 2
        if left > 0 and left <= a[row + _LOCKOUT]:
            return
        a[row + _LOCKED] = 0
    if int(is_armed(a, now)):
        strike(a, row, now)


@micropython.viper
def strike(a: ptr32, row: int, now: int):
    a[row + _RESTING_ON] = 1
    a[row + _REFIRE_AT] = (now + _REFIRE_MS) & _MASK
    past = (now - a[row + _STORM_AT]) << 2 >> 2
    a[row + _STORM_AT] = now
    storm = 0
    if past >= 0:
        storm = a[row + _STORM] - past
        if storm < 0:
            storm = 0
    a[row + _STORM] = storm
    if storm + _STORM_COST > _STORM_MOST:
        report(a, _REFUSED, a[row + _KICK_COIL], _WHY_STORM)
    elif int(fire(a, a[row + _KICK_COIL], a[row + _KICK_MS], now)) == 0:
        a[row + _STORM] = storm + _STORM_COST
        a[row + _LOCK_END] = (now + a[row + _LOCKOUT]) & _MASK
        a[row + _LOCKED] = 1


@micropython.viper
def refire(a: ptr32, row: int, armed: int, now: int):
    a[row + _RESTING_ON] = 0
    if armed == 0:
        return
    if a[row + _TURNS] == _REFIRES:
        a[row + _DISARMED] = 1
        report(a, _REFUSED, a[row + _KICK_COIL], _WHY_RESTED_ON)
        return
    a[row + _TURNS] += 1
    strike(a, row, now)


@micropython.viper
def button(a: ptr32, row: int, closed: int, now: int):
    if closed == 0:
        if a[row + _UP]:
            lower(a, row, now)
    elif int(is_armed(a, now)):
        if int(fire(a, a[row + _STRONG], a[row + _STRONG_MS], now)) == 0:
            a[row + _UP] = 1
            a[row + _STROKE_SEEN] = 0
            fire(a, a[row + _HOLDING], _HOLD, now)


@micropython.viper
def stroke(a: ptr32, row: int, closed: int, now: int):
    if a[row + _UP] == 0:
        return
    if closed:
        a[row + _STROKE_SEEN] = 1
        off(a, a[row + _STRONG], now)
        return
    if a[row + _STROKE_SEEN] == 0:
        return
    if int(is_armed(a, now)) == 0:
        return
    if a[row + _REPULSED]:
        past = (now - a[row + _REPULSE_AT]) << 2 >> 2
        if past >= 0 and past < _REPULSE_MS:
            return
    if int(fire(a, a[row + _STRONG], a[row + _STRONG_MS], now)) == 0:
        a[row + _REPULSED] = 1
        a[row + _REPULSE_AT] = now


@micropython.viper
def lower(a: ptr32, row: int, now: int):
    a[row + _UP] = 0
    off(a, a[row + _STRONG], now)
    off(a, a[row + _HOLDING], now)


@micropython.viper
def drop(a: ptr32, now: int):
    row = a[_AT_FLIPPERS]
    last = row + a[_FLIPPERS] * _FLIPPER_ROW
    while row < last:
        if a[row + _UP]:
            lower(a, row, now)
        row += _FLIPPER_ROW


@micropython.viper
def report(a: ptr32, what: int, coil: int, value: int):
    held = a[_RING_HELD]
    if held == _RING:
        a[_RING_LOST] += 1
        return
    at = a[_RING_FIRST] + held
    if at >= _RING:
        at -= _RING
    at = a[_AT_RING] + at * _REPORT
    a[at] = what
    a[at + 1] = coil
    a[at + 2] = value
    a[_RING_HELD] = held + 1
