"""The coil limiter and the reflexes that ask it: one array of small integers, and what changes it.

Whoever wants a coil, reflex or rule, leaves a request; `serve` alone switches coils. It refuses and
reports; it never stretches a pulse, and cuts one short only when it is asked to switch off. `now` is a
tick of period 2^30 in ms, heat is on-time in 1/1024 ms. `limiter_state.build` lays the array out.
"""

from firmware.base.viper import const, ptr32

_MASK = const(0x3FFFFFFF)
_HALF = const(0x20000000)
_BACK = const(-0x40000000)  # a period back: the sum of a tick and a span stays small

# The array's head
_ARMED = const(0)
_LEASE_END = const(1)
_SUPPLY = const(2)  # milliamperes that may be predicted at once, 0: not limited
_AMPERES = const(3)  # milliamperes of what is on now
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
_DRIVEN = const(14)  # drives that are on, drive 1 in bit 0
_SWITCHES = const(15)
_AT_REQUESTS = const(16)
_REQUESTS = const(17)  # how many wait
_ANSWER = const(18)  # the reason of the last request's refusal, 0 when it was granted
_LEFT = const(19)  # with the answer RESTING: ms until the coil may fire
_HEAD = const(20)

# A coil
_KIND = const(0)
_LONGEST = const(1)  # 0: may be held on, NEVER: is kept off
_REST = const(2)
_CURRENT = const(3)
_BUDGET = const(4)  # 0: bears being on for ever
_COOLS = const(5)  # 1/1024 ms of heat a ms
_DRIVE = const(6)  # its bit in DRIVEN
_STATE = const(7)
_READY = const(8)
_USED = const(9)  # READY counts
_END = const(10)
_HEAT = const(11)
_HEAT_AT = const(12)
_COIL = const(13)

_FLIPPER = const(2)  # the kind that the supply never refuses
_OFF = const(0)
_PULSED = const(1)
_HELD = const(2)

# A kick: a switch that fires a coil
_KICK_SWITCH = const(0)
_KICK_COIL = const(1)
_KICK_MS = const(2)
_LOCKOUT = const(3)
_CLOSED = const(4)
_OPENED = const(5)
_OPEN_ONCE = const(6)  # OPENED counts
_LOCK_END = const(7)
_LOCKED = const(8)  # LOCK_END counts
_REFIRE_AT = const(9)
_RESTING_ON = const(10)  # REFIRE_AT counts
_TURNS = const(11)  # how often a resting ball was kicked again, -1: its first kick is due
_STORM = const(12)
_STORM_AT = const(13)
_DISARMED = const(14)
_KICK = const(15)

# A flipper
_BUTTON = const(0)
_STROKE = const(1)  # its end-of-stroke switch
_STRONG = const(2)
_HOLDING = const(3)
_STRONG_MS = const(4)
_UP = const(5)
_STROKE_SEEN = const(6)
_REPULSE_AT = const(7)
_REPULSED = const(8)  # REPULSE_AT counts
_FLIPPER_ROW = const(9)

# Role of a switch: 0 none, else 1 + kick, or BUTTON_ROLE, or STROKE_ROLE
_BUTTON_ROLE = const(100)
_STROKE_ROLE = const(101)

# A request: what, coil, ms (or a reason), the row of the kick or flipper it is for
_REQUEST = const(4)
_FIRE = const(1)
_SWITCH_OFF = const(2)
_ASK = const(3)  # would it fire?
_REFUSE = const(4)  # report a reflex's own refusal
_KICKED = const(5)  # as FIRE, for a kick,
_LIFT = const(6)  # a flipper that goes up,
_KEEP = const(7)  # its hold winding, when the one before was fired,
_LIFT_AGAIN = const(8)  # its strong winding, since it was pushed down

# A report: what happened, coil, value
_RING = const(32)
_REPORT = const(3)
_FIRED = const(1)  # value: ms or HOLD
_ENDED = const(2)  # switched off before its time
_REFUSED = const(3)  # value: reason

_TOO_LONG = const(1)
_RESTING = const(2)
_HOT = const(6)
_SUPPLY_TAKEN = const(7)
_STORMING = const(8)
_RESTED_ON = const(9)
_NO_LENGTH = const(10)
_KEPT_OFF = const(11)

_HOLD = const(-1)
_NEVER = const(-1)  # a longest on-time
_LONGEST_PULSE = const(250_000)  # ms, of any coil
_LEASE_MS = const(500)
_REARM_MS = const(5)  # a contact must be open for so long before it fires again
_REFIRE_MS = const(500)  # a ball that rests on the switch is kicked again after so long,
_REFIRES = const(3)  # so often,
_QUIET_MS = const(2000)  # and then not before the switch was open for so long
_STORM_COST = const(200)  # a kick fills the storm bucket by this, a ms empties it by one:
_STORM_MOST = const(4000)  # 20 in a burst, then five a second
_REPULSE_MS = const(334)  # the strong winding comes again at most three times a second
_FARTHEST = const(1 << 20)  # ms over which cooling is reckoned at once, so that products stay small
_UNIT = const(1024)

_ALL_KICKS = const(0)
_NO_KICK = const(-1)


def request(a: ptr32, what: int, coil: int, ms: int) -> int:
    """Leave a request for `serve`: FIRE, SWITCH_OFF or ASK. How many wait."""
    at = a[_AT_REQUESTS] + a[_REQUESTS] * _REQUEST
    a[at] = what
    a[at + 1] = coil
    a[at + 2] = ms
    a[_REQUESTS] += 1
    return a[_REQUESTS]


def serve(a: ptr32, now: int) -> int:
    """End the pulses that are over, then answer the requests in their order; the drives that are on."""
    if a[_DRIVEN]:
        row = _HEAD
        end = _HEAD + a[_COILS] * _COIL
        while row < end:
            if a[row + _STATE] == _PULSED:
                left = ((a[row + _END] - now) & _MASK ^ _HALF) - _HALF
                if left <= 0:
                    a[row + _STATE] = _OFF
                    a[_AMPERES] -= a[row + _CURRENT]
                    a[_DRIVEN] &= -1 ^ a[row + _DRIVE]
            row += _COIL
    why = 0
    at = a[_AT_REQUESTS]
    last = at + a[_REQUESTS] * _REQUEST
    while at < last:
        what = a[at]
        ms = a[at + 2]
        row = _HEAD + a[at + 1] * _COIL
        happened = 0
        value = 0
        if what == _SWITCH_OFF:
            why = 0
            if a[row + _STATE]:
                if a[row + _STATE] == _PULSED and a[row + _BUDGET] != 0:  # what was not used is no heat
                    left = ((a[row + _END] - now) & _MASK ^ _HALF) - _HALF
                    heat = a[row + _HEAT] - left * _UNIT
                    a[row + _HEAT] = heat if heat > 0 else 0
                a[row + _STATE] = _OFF
                a[_AMPERES] -= a[row + _CURRENT]
                a[_DRIVEN] &= -1 ^ a[row + _DRIVE]
                a[row + _READY] = (now + _BACK + a[row + _REST]) & _MASK
                a[row + _USED] = 1
                happened = _ENDED
        elif what == _REFUSE:
            why = ms
            happened = _REFUSED
            value = ms
        elif what != _KEEP or why == 0:
            # The limits
            why = 0
            longest = a[row + _LONGEST]
            if longest < 0:
                why = _KEPT_OFF
            elif ms == _HOLD:
                if longest:
                    why = _TOO_LONG
            elif ms <= 0:
                why = _NO_LENGTH
            elif ms > _LONGEST_PULSE or (longest != 0 and ms > longest):
                why = _TOO_LONG
            elif a[row + _USED]:
                left = ((a[row + _READY] - now) & _MASK ^ _HALF) - _HALF
                if left <= 0 or left > _LONGEST_PULSE + a[row + _REST]:  # long ago, however the clock wrapped
                    a[row + _USED] = 0
                else:
                    a[_LEFT] = left
                    why = _RESTING
            if why == 0 and ms > 0 and a[row + _BUDGET] != 0:
                past = ((now - a[row + _HEAT_AT]) & _MASK ^ _HALF) - _HALF
                if past < 0 or past > _FARTHEST:
                    past = _FARTHEST
                heat = a[row + _HEAT] - past * a[row + _COOLS]
                a[row + _HEAT] = heat if heat > 0 else 0
                a[row + _HEAT_AT] = now
                if a[row + _HEAT] + ms * _UNIT > a[row + _BUDGET]:
                    why = _HOT
            joins = a[row + _STATE] == _OFF and a[row + _KIND] != _FLIPPER
            if why == 0 and joins and a[_SUPPLY] != 0 and a[_AMPERES] + a[row + _CURRENT] > a[_SUPPLY]:
                why = _SUPPLY_TAKEN
            # What follows
            if why:
                value = why
                if what != _ASK:
                    happened = _REFUSED
            elif what != _ASK:
                happened = _FIRED
                value = ms
                if a[row + _STATE] == _OFF:
                    a[_AMPERES] += a[row + _CURRENT]
                    a[_DRIVEN] |= a[row + _DRIVE]
                if ms == _HOLD:
                    a[row + _STATE] = _HELD
                else:
                    a[row + _STATE] = _PULSED
                    a[row + _END] = (now + _BACK + ms) & _MASK
                    a[row + _READY] = (now + _BACK + ms + a[row + _REST]) & _MASK
                    a[row + _USED] = 1
                    if a[row + _BUDGET]:
                        a[row + _HEAT] += ms * _UNIT
                row = a[at + 3]
                if what == _KICKED:
                    a[row + _STORM] += _STORM_COST
                    a[row + _LOCK_END] = (now + _BACK + a[row + _LOCKOUT]) & _MASK
                    a[row + _LOCKED] = 1
                elif what == _LIFT:
                    a[row + _UP] = 1
                    a[row + _STROKE_SEEN] = 0
                elif what == _LIFT_AGAIN:
                    a[row + _REPULSED] = 1
                    a[row + _REPULSE_AT] = now
        if happened:
            held = a[_RING_HELD]
            if held == _RING:
                a[_RING_LOST] += 1
            else:
                place = a[_RING_FIRST] + held
                if place >= _RING:
                    place -= _RING
                place = a[_AT_RING] + place * _REPORT
                a[place] = happened
                a[place + 1] = a[at + 1]
                a[place + 2] = value
                a[_RING_HELD] = held + 1
        at += _REQUEST
    a[_REQUESTS] = 0
    a[_ANSWER] = why
    return a[_DRIVEN]


def contact(a: ptr32, switch: int, closed: int, now: int) -> int:
    """A contact changed, before any debounce; then 0: it has no reflex, else what `advance` is to look at."""
    role = a[a[_AT_ROLES] + switch]
    if role == 0:
        return 0
    if role < _BUTTON_ROLE:
        row = a[_AT_KICKS] + (role - 1) * _KICK
        a[row + _CLOSED] = closed
        if closed == 0:
            a[row + _OPENED] = now
            a[row + _OPEN_ONCE] = 1
            a[row + _RESTING_ON] = 0
            return _NO_KICK
        if a[row + _OPEN_ONCE]:
            past = ((now - a[row + _OPENED]) & _MASK ^ _HALF) - _HALF
            if past >= 0 and past < (_QUIET_MS if a[row + _DISARMED] else _REARM_MS):
                return _NO_KICK
        a[row + _DISARMED] = 0
        a[row + _TURNS] = 0
        if a[row + _LOCKED]:
            left = ((a[row + _LOCK_END] - now) & _MASK ^ _HALF) - _HALF
            if left > 0 and left <= a[row + _LOCKOUT]:
                return _NO_KICK
            a[row + _LOCKED] = 0
        a[row + _TURNS] = -1
        a[row + _RESTING_ON] = 1
        a[row + _REFIRE_AT] = now
        return row
    armed = a[_ARMED]
    if armed:
        left = ((a[_LEASE_END] - now) & _MASK ^ _HALF) - _HALF
        if left <= 0 or left > _LEASE_MS:
            armed = 0
    at = a[_AT_REQUESTS] + a[_REQUESTS] * _REQUEST
    row = a[_AT_FLIPPERS]
    last = row + a[_FLIPPERS] * _FLIPPER_ROW
    while row < last:
        if a[row + _BUTTON] == switch:
            if closed == 0:
                if a[row + _UP]:
                    a[row + _UP] = 0
                    a[at] = _SWITCH_OFF
                    a[at + 1] = a[row + _STRONG]
                    a[at + _REQUEST] = _SWITCH_OFF
                    a[at + _REQUEST + 1] = a[row + _HOLDING]
                    at += 2 * _REQUEST
            elif armed:
                a[at] = _LIFT
                a[at + 1] = a[row + _STRONG]
                a[at + 2] = a[row + _STRONG_MS]
                a[at + 3] = row
                a[at + _REQUEST] = _KEEP
                a[at + _REQUEST + 1] = a[row + _HOLDING]
                a[at + _REQUEST + 2] = _HOLD
                at += 2 * _REQUEST
        elif a[row + _STROKE] == switch and a[row + _UP] != 0:
            # The end of the stroke cuts the strong winding; pushed back down it comes again, not too often.
            if closed:
                a[row + _STROKE_SEEN] = 1
                a[at] = _SWITCH_OFF
                a[at + 1] = a[row + _STRONG]
                at += _REQUEST
            elif a[row + _STROKE_SEEN] != 0 and armed != 0:
                past = ((now - a[row + _REPULSE_AT]) & _MASK ^ _HALF) - _HALF
                if a[row + _REPULSED] == 0 or past < 0 or past >= _REPULSE_MS:
                    a[at] = _LIFT_AGAIN
                    a[at + 1] = a[row + _STRONG]
                    a[at + 2] = a[row + _STRONG_MS]
                    a[at + 3] = row
                    at += _REQUEST
        row += _FLIPPER_ROW
    while a[_AT_REQUESTS] + a[_REQUESTS] * _REQUEST < at:
        a[_REQUESTS] += 1
    return _NO_KICK


def advance(a: ptr32, kick: int, now: int) -> int:
    """What time brings: flippers fall when the lease is over, kicks that are due are asked for.

    `kick` is ALL_KICKS, NO_KICK, or what `contact` gave. How many requests wait for `serve`.
    """
    at = a[_AT_REQUESTS] + a[_REQUESTS] * _REQUEST
    if a[_ARMED]:
        left = ((a[_LEASE_END] - now) & _MASK ^ _HALF) - _HALF
        if left <= 0 or left > _LEASE_MS:
            a[_ARMED] = 0
    if a[_ARMED] == 0:
        row = a[_AT_FLIPPERS]
        last = row + a[_FLIPPERS] * _FLIPPER_ROW
        while row < last:
            if a[row + _UP]:
                a[row + _UP] = 0
                a[at] = _SWITCH_OFF
                a[at + 1] = a[row + _STRONG]
                a[at + _REQUEST] = _SWITCH_OFF
                a[at + _REQUEST + 1] = a[row + _HOLDING]
                at += 2 * _REQUEST
                a[_REQUESTS] += 2
            row += _FLIPPER_ROW
    row = kick
    last = kick + _KICK
    if kick == _ALL_KICKS:
        row = a[_AT_KICKS]
        last = row + a[_KICKS] * _KICK
    elif kick == _NO_KICK:
        last = row
    while row < last:
        if a[row + _RESTING_ON]:
            left = ((a[row + _REFIRE_AT] - now) & _MASK ^ _HALF) - _HALF
            if left <= 0:
                a[row + _RESTING_ON] = 0
                if a[_ARMED]:
                    a[at + 1] = a[row + _KICK_COIL]
                    if a[row + _TURNS] == _REFIRES:
                        a[row + _DISARMED] = 1
                        a[at] = _REFUSE
                        a[at + 2] = _RESTED_ON
                    else:
                        a[row + _TURNS] += 1
                        a[row + _RESTING_ON] = 1
                        a[row + _REFIRE_AT] = (now + _BACK + _REFIRE_MS) & _MASK
                        past = ((now - a[row + _STORM_AT]) & _MASK ^ _HALF) - _HALF
                        a[row + _STORM_AT] = now
                        storm = a[row + _STORM] - past
                        if past < 0 or storm < 0:
                            storm = 0
                        a[row + _STORM] = storm
                        if storm + _STORM_COST > _STORM_MOST:
                            a[at] = _REFUSE
                            a[at + 2] = _STORMING
                        else:
                            a[at] = _KICKED
                            a[at + 2] = a[row + _KICK_MS]
                            a[at + 3] = row
                    at += _REQUEST
                    a[_REQUESTS] += 1
        row += _KICK
    return a[_REQUESTS]


# What other modules need; see the package.
REMEMBERED = (_READY, _USED, _HEAT, _HEAT_AT)  # of a coil: rest and heat, which no new run takes away
(
    ARMED, LEASE_END, SUPPLY, AMPERES, COILS, KICKS, FLIPPERS, AT_KICKS, AT_FLIPPERS, AT_ROLES, AT_RING,
    RING_FIRST, RING_HELD, RING_LOST, DRIVEN, SWITCHES, AT_REQUESTS, REQUESTS, ANSWER, LEFT, HEAD, KIND,
    LONGEST, REST, CURRENT, BUDGET, COOLS, DRIVE, STATE, HEAT, HEAT_AT, COIL, PULSED, HELD, KICK,
    REFIRE_AT, RESTING_ON, STORM, FLIPPER_ROW, UP, BUTTON_ROLE, STROKE_ROLE, REQUEST, FIRE, SWITCH_OFF,
    ASK, RING, REPORT, FIRED, ENDED, REFUSED, TOO_LONG, RESTING, HOT, SUPPLY_TAKEN, STORMING, RESTED_ON,
    NO_LENGTH, KEPT_OFF, HOLD, NEVER, LONGEST_PULSE, LEASE_MS, UNIT, ALL_KICKS, NO_KICK,
) = (
    _ARMED, _LEASE_END, _SUPPLY, _AMPERES, _COILS, _KICKS, _FLIPPERS, _AT_KICKS, _AT_FLIPPERS, _AT_ROLES,
    _AT_RING, _RING_FIRST, _RING_HELD, _RING_LOST, _DRIVEN, _SWITCHES, _AT_REQUESTS, _REQUESTS, _ANSWER,
    _LEFT, _HEAD, _KIND, _LONGEST, _REST, _CURRENT, _BUDGET, _COOLS, _DRIVE, _STATE, _HEAT, _HEAT_AT,
    _COIL, _PULSED, _HELD, _KICK, _REFIRE_AT, _RESTING_ON, _STORM, _FLIPPER_ROW, _UP, _BUTTON_ROLE,
    _STROKE_ROLE, _REQUEST, _FIRE, _SWITCH_OFF, _ASK, _RING, _REPORT, _FIRED, _ENDED, _REFUSED, _TOO_LONG,
    _RESTING, _HOT, _SUPPLY_TAKEN, _STORMING, _RESTED_ON, _NO_LENGTH, _KEPT_OFF, _HOLD, _NEVER,
    _LONGEST_PULSE, _LEASE_MS, _UNIT, _ALL_KICKS, _NO_KICK,
)  # fmt: skip
