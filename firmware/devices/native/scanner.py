"""From samples of contacts to changes and debounced edges: one array of small integers a board.

Contacts come in five groups of 16 bits: matrix columns 1 and 2 (row 1 of column 1 in the lowest bit),
3 and 4, 5 and 6, 7 and 8, then direct inputs 1 … 16. A level counts once two samples in a row agree.
An inverted contact (an opto switch) is closed while its level is open.
`scan.build` lays the array out.
"""

from firmware.base.viper import const, ptr32

_MASK = const(0x3FFFFFFF)
_HALF = const(0x20000000)
_BACK = const(-0x40000000)

_GROUPS = const(5)
_CONTACTS = const(80)
_PRIMING = const(8)  # scans that must agree before contacts count

_RAW = const(0)
_STILL = const(5)  # debounced
_PENDING = const(10)  # raw differs from debounced
_PRIMED = const(15)
_RING_FIRST = const(16)
_RING_HELD = const(17)
_RING_LOST = const(18)
_DUE = const(20)
_SWITCH = const(100)  # switch of a contact, -1: not wired
_CLOSE_MS = const(180)
_OPEN_MS = const(260)
_AT_RING = const(340)
_RING = const(64)
_AT_CHANGES = const(404)  # of the last step, each switch * 2 + closed
_INVERTED = const(484)  # groups: contacts that are closed while their level is open
_SIZE = const(489)


def scan(s: ptr32, g: ptr32, now: int) -> int:
    """One millisecond: `g` holds the groups of two scans in a row. How many contacts changed.

    What is closed at power-up is debounced and becomes an edge, but is no change: it fires nothing.
    """
    changes = 0
    group = 0
    if s[_PRIMED] < _PRIMING:
        while group < _GROUPS:
            if g[group] != g[_GROUPS + group] or g[group] != s[_RAW + group]:
                s[_PRIMED] = 0
            group += 1
        s[_PRIMED] += 1
        group = 0
        while group < _GROUPS:
            s[_RAW + group] = g[group]
            if s[_PRIMED] == _PRIMING:
                one = g[group] ^ s[_INVERTED + group]
                place = group * 16
                while one:
                    if one & 1 and s[_SWITCH + place] >= 0:
                        s[_PENDING + group] |= 1 << (place & 15)
                        s[_DUE + place] = (now + _BACK + s[_CLOSE_MS + place]) & _MASK
                    one = one >> 1
                    place += 1
            group += 1
        return 0
    while group < _GROUPS:
        one = g[group]
        bits = (one ^ s[_RAW + group]) & (0xFFFF ^ one ^ g[_GROUPS + group])
        if bits:
            s[_RAW + group] ^= bits
            one = one ^ s[_INVERTED + group]
            place = group * 16
            bit = 1
            while bits:
                if bits & 1 and s[_SWITCH + place] >= 0:
                    closed = one & 1
                    s[_AT_CHANGES + changes] = s[_SWITCH + place] * 2 + closed
                    changes += 1
                    if (1 if s[_STILL + group] & bit else 0) == closed:
                        s[_PENDING + group] &= 0xFFFF ^ bit
                    else:
                        s[_PENDING + group] |= bit
                        wait = s[_CLOSE_MS + place] if closed else s[_OPEN_MS + place]
                        s[_DUE + place] = (now + _BACK + wait) & _MASK
                bits = bits >> 1
                one = one >> 1
                bit = bit << 1
                place += 1
        bits = s[_PENDING + group]
        place = group * 16
        bit = 1
        while bits:
            if bits & 1:
                wait = ((s[_DUE + place] - now) & _MASK ^ _HALF) - _HALF
                if wait <= 0:
                    s[_PENDING + group] ^= bit
                    s[_STILL + group] ^= bit
                    held = s[_RING_HELD]
                    if held == _RING:
                        s[_RING_LOST] += 1
                    else:
                        closed = 1 if s[_STILL + group] & bit else 0
                        s[_AT_RING + ((s[_RING_FIRST] + held) & (_RING - 1))] = (
                            s[_SWITCH + place] * 2 + closed
                        )
                        s[_RING_HELD] = held + 1
            bits = bits >> 1
            bit = bit << 1
            place += 1
        group += 1
    return changes


# What other modules need; see the package.
(
    GROUPS, CONTACTS, PRIMING, RAW, STILL, PENDING, PRIMED, RING_FIRST, RING_HELD, RING_LOST, SWITCH,
    CLOSE_MS, OPEN_MS, AT_RING, RING, AT_CHANGES, INVERTED, SIZE,
) = (
    _GROUPS, _CONTACTS, _PRIMING, _RAW, _STILL, _PENDING, _PRIMED, _RING_FIRST, _RING_HELD, _RING_LOST,
    _SWITCH, _CLOSE_MS, _OPEN_MS, _AT_RING, _RING, _AT_CHANGES, _INVERTED, _SIZE,
)  # fmt: skip
