"""Samples to reflexes and debounced edges in viper: `firmware.devices.scan.Scan` line by line.

`a` is the address of the core's cells, `s` that of the scan's, `g` that of ten sample words: five
groups, then the same half a millisecond later. Constants repeat those of firmware.devices.scan.
"""

import micropython
from micropython import const

from boards.pico_matrix.reflex import contact, tick

_GROUPS = const(5)
_CONTACTS = const(80)
_PRIMING = const(8)
_RAW = const(0)
_STILL = const(5)
_PENDING = const(10)
_PRIMED = const(15)
_RING_FIRST = const(16)
_RING_HELD = const(17)
_RING_LOST = const(18)
_DUE = const(20)
_SWITCH = const(100)
_CLOSE_MS = const(180)
_OPEN_MS = const(260)
_AT_RING = const(340)
_RING = const(64)
_MASK = const(0x3FFFFFFF)


@micropython.viper
def step(a: ptr32, s: ptr32, g: ptr32, now: int):
    tick(a, now)
    if s[_PRIMED] < _PRIMING:
        prime(s, g, now)
        return
    group = 0
    while group < _GROUPS:
        one = g[group]
        changed = (one ^ s[_RAW + group]) & (0xFFFF ^ one ^ g[_GROUPS + group])
        if changed:
            s[_RAW + group] ^= changed
            place = group * 16
            while changed:
                if changed & 1 and s[_SWITCH + place] >= 0:
                    contact(a, s[_SWITCH + place], one & 1, now)
                    wait(s, place, one & 1, now)
                changed = changed >> 1
                one = one >> 1
                place += 1
        if s[_PENDING + group]:
            settle(s, group, now)
        group += 1


@micropython.viper
def prime(s: ptr32, g: ptr32, now: int):
    group = 0
    while group < _GROUPS:
        if g[group] != g[_GROUPS + group]:
            s[_PRIMED] = 0
        if s[_PRIMED] != 0 and g[group] != s[_RAW + group]:
            s[_PRIMED] = 0
        group += 1
    group = 0
    while group < _GROUPS:
        s[_RAW + group] = g[group]
        group += 1
    s[_PRIMED] += 1
    if s[_PRIMED] == _PRIMING:
        place = 0
        while place < _CONTACTS:
            if (s[_RAW + (place >> 4)] >> (place & 15)) & 1:
                if s[_SWITCH + place] >= 0:
                    wait(s, place, 1, now)
            place += 1


@micropython.viper
def wait(s: ptr32, place: int, closed: int, now: int):
    group = place >> 4
    bit = 1 << (place & 15)
    still = 1 if s[_STILL + group] & bit else 0
    if still == closed:
        s[_PENDING + group] &= 0xFFFF ^ bit
        return
    s[_PENDING + group] |= bit
    needed = s[_CLOSE_MS + place] if closed else s[_OPEN_MS + place]
    s[_DUE + place] = (now + needed) & _MASK


@micropython.viper
def settle(s: ptr32, group: int, now: int):
    pending = s[_PENDING + group]
    bit = 0
    while pending:
        if pending & 1:
            place = group * 16 + bit
            if (s[_DUE + place] - now) << 2 <= 0:
                s[_PENDING + group] &= 0xFFFF ^ (1 << bit)
                s[_STILL + group] ^= 1 << bit
                edge(s, s[_SWITCH + place] * 2 + ((s[_STILL + group] >> bit) & 1))
        pending = pending >> 1
        bit += 1


@micropython.viper
def edge(s: ptr32, value: int):
    held = s[_RING_HELD]
    if held == _RING:
        s[_RING_LOST] += 1
        return
    s[_AT_RING + ((s[_RING_FIRST] + held) & (_RING - 1))] = value
    s[_RING_HELD] = held + 1
