"""Rows of integers that are read and written often.

A board keeps them in arrays, which take the least memory. CPython reads tuples and lists several times as
fast, and has the memory.
"""

import sys
from array import array

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import MutableSequence, Sequence
    from typing import Any

    Numbers = MutableSequence[int]
    Slices = Any  # a memoryview, whose slices take buffers, or a list, whose slices take rows: never mixed

BYTE = 255
WORD = 0x3FFFFFFF  # ±2^30, the small integers of a 32-bit board

in_arrays = sys.implementation.name != "cpython"


def constants(values: "list[int]") -> "Sequence[int]":
    """`values` (not negative), to be read only."""
    if in_arrays:
        return array("B" if max(values or [0]) <= BYTE else "H", values)
    return tuple(values)


def zeros(size: int, most: int) -> "Numbers":
    """`size` zeros, to be overwritten with numbers up to `most`; with any up to ±2^30 if that is WORD."""
    if in_arrays:
        return array("B" if most <= BYTE else "i" if most == WORD else "H", [0] * size)
    return [0] * size


def quick(numbers: "array[int]") -> "Numbers":
    """`numbers`, or where lists are quicker the same in a list."""
    if in_arrays:
        return numbers
    return numbers.tolist()


def slices(numbers: "Numbers") -> "Slices":
    """What slices of `numbers` are written through without allocating."""
    return memoryview(numbers) if isinstance(numbers, array) else numbers
