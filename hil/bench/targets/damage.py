"""Damage to bytes on a line, drawn from a seeded generator."""

import math
from collections.abc import Callable
from random import Random

FLIP_RATES = (1e-5, 1e-4, 1e-3)  # a bit
BYTE_RATES = (1e-4, 1e-3, 1e-2)  # a byte

Damage = Callable[[bytes], bytes]


def none(data: bytes) -> bytes:
    """No damage."""
    return data


def _places(rng: Random, n: int, rate: float) -> list[int]:
    """The hit ones of `n` places, each with probability `rate`, in ascending order."""
    found: list[int] = []
    at = -1
    while True:
        at += 1 + int(math.log(1.0 - rng.random()) / math.log1p(-rate))
        if at >= n:
            return found
        found.append(at)


def _some_places(rng: Random, n: int, rate: float) -> list[int]:
    """As `_places`, under the condition that at least one is hit."""
    first = int(math.log1p(-rng.random() * -math.expm1(n * math.log1p(-rate))) / math.log1p(-rate))
    first = min(first, n - 1)
    return [first] + [first + 1 + place for place in _places(rng, n - first - 1, rate)]


def flips(rng: Random, rate: float, always: bool = False) -> Damage:
    """Flips single bits; `always`: at least one."""

    def apply(data: bytes) -> bytes:
        bits = len(data) * 8
        out = bytearray(data)
        for bit in _some_places(rng, bits, rate) if always else _places(rng, bits, rate):
            out[bit // 8] ^= 1 << bit % 8
        return bytes(out)

    return apply


def _lost(rng: Random, out: bytearray, at: int) -> None:
    del out[at]


def _doubled(rng: Random, out: bytearray, at: int) -> None:
    out.insert(at, out[at])


def _swapped(rng: Random, out: bytearray, at: int) -> None:
    other = at + 1 if at + 1 < len(out) else at - 1
    if other >= 0:
        out[at], out[other] = out[other], out[at]


def _put_in(rng: Random, out: bytearray, at: int) -> None:
    out.insert(at, rng.randrange(256))


BYTE_KINDS = {"lost": _lost, "doubled": _doubled, "swapped": _swapped, "put in": _put_in}


def bytes_of(kind: str, rng: Random, rate: float, always: bool = False) -> Damage:
    """Loses, doubles, swaps or inserts single bytes, as `kind` says; `always`: at least one."""
    act = BYTE_KINDS[kind]

    def apply(data: bytes) -> bytes:
        out = bytearray(data)
        places = _some_places(rng, len(data), rate) if always else _places(rng, len(data), rate)
        for at in reversed(places):
            act(rng, out, at)
        return bytes(out)

    return apply


FRAME_RATES = (0.01, 0.1)  # a frame
FRAME_KINDS = ("lost", "doubled", "swapped")


def frames_of(kind: str, rng: Random, rate: float, always: bool = False) -> Damage:
    """Loses, doubles or swaps whole frames, as `kind` says; `always`: at least one."""

    def apply(data: bytes) -> bytes:
        *chunks, rest = data.split(b"\0")
        n = len(chunks)
        if n == 0:
            return data
        for at in reversed(_some_places(rng, n, rate) if always else _places(rng, n, rate)):
            if kind == "lost":
                del chunks[at]
            elif kind == "doubled":
                chunks.insert(at, chunks[at])
            elif at + 1 < len(chunks):
                chunks[at], chunks[at + 1] = chunks[at + 1], chunks[at]
        return b"\0".join([*chunks, rest])

    return apply
