"""Known answers of the modules that a board holds as machine code: a start asks for them first.

Each is one that comes out wrong when a constant is read wrong: a pulse and a debounce across the wrap of the
clock, and a drain that is low on a bus at the edge of what is judged.
"""

from array import array

from firmware.devices import scan
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import scanner, senses
from firmware.devices.native.limiter import DRIVEN

LATE = 0x3FFFFFFE  # ms, just before the clock wraps
PULSE = 10
BIT = 1 << 3
JUDGED_MV = 9000


class _Wiring:
    """One coil on drive 24, one switch in column 1, row 4."""

    COILS = (("coil", "snap", PULSE, 20, 30, 24),)
    SWITCHES = (("switch", "rollover", "playfield", 4, 1),)
    LAMPS = ()
    REFLEXES = ()
    FLIPPERS = ()


def wrong() -> "list[str]":
    """Names of the modules that do not give their known answer."""
    found = []
    for name, answers in (("limiter", _limiter), ("scanner", _scanner), ("senses", _senses)):
        if not answers():
            found.append(name)
    return found


def _limiter() -> bool:
    limiter = CoilLimiter(_Wiring)
    limiter.begin(LATE)
    fired = limiter.fire(0, PULSE, LATE) == 0 and limiter.state[DRIVEN] == 1 << 23
    on = limiter.driven(_later(PULSE - 1))
    return fired and on and not limiter.driven(_later(PULSE)) and limiter.resting(0, _later(PULSE)) == 30


def _scanner() -> bool:
    state = scan.build(_Wiring.SWITCHES)
    groups = array("i", [0] * (2 * scanner.GROUPS))
    for i in range(scanner.PRIMING):
        scanner.scan(state, groups, _later(i - scanner.PRIMING))
    groups[0] = groups[scanner.GROUPS] = BIT
    changed = scanner.scan(state, groups, LATE) == 1 and state[scanner.AT_CHANGES] == 1
    wait = state[scanner.CLOSE_MS + 3]
    scanner.scan(state, groups, _later(wait - 1))
    early = state[scanner.RING_HELD]
    scanner.scan(state, groups, _later(wait))
    return changed and not early and state[scanner.RING_HELD] == 1 and state[scanner.AT_RING] == 1


def _senses() -> bool:
    state = array("i", [0] * senses.CELLS)
    state[senses.WATCHED] = senses.DRAINS
    state[senses.JUDGED_MV] = JUDGED_MV
    low = senses.DRAINS ^ BIT  # one drain low, and nobody drives it
    answers = [_sense(state, low, JUDGED_MV - 1) for _ in range(senses.LOW_FOR + 1)]
    answers += [_sense(state, low, JUDGED_MV) for _ in range(senses.LOW_FOR)]
    return not any(answers) and _sense(state, low, JUDGED_MV) == senses.LOCKED_ON


def _sense(state: "array[int]", drains: int, bus_mv: int) -> int:
    return senses.sense(state, drains, 0, 1, 1, 1, bus_mv)


def _later(ms: int) -> int:
    return (LATE + ms) & 0x3FFFFFFF
