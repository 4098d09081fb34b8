"""Kinds of arguments: a parameter's annotation says what it takes, in a test and in words for a message."""

import re
import types
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Union, get_args, get_origin

from firmware.devices.chain import COLOURS

NAME = re.compile(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+)*")
COLOUR_NAMES = tuple(name for name, *_ in COLOURS)
SIDES = ("left", "right")
MOST_OF_A_KIND = 24
LONGEST_MS = 60_000


@dataclass(frozen=True)
class Takes:
    """What an argument takes: `words` for the message, `test` for a value."""

    words: str
    test: Callable[[object], bool]
    choices: tuple[str, ...] = ()


def is_name(value: object) -> bool:
    """Whether a value may name a thing of the machine."""
    return isinstance(value, str) and NAME.fullmatch(value) is not None


def whole(least: int, most: int) -> Takes:
    """A whole number within limits."""

    def test(value: object) -> bool:
        return type(value) is int and least <= value <= most

    return Takes(f"a whole number, {least} to {most}", test)


def tuple_of(test: Callable[[object], bool]) -> Callable[[object], bool]:
    """Whether a value is a tuple, not empty, of such values."""
    return lambda value: isinstance(value, tuple) and bool(value) and all(test(one) for one in value)


def one_of(choices: tuple[str, ...]) -> Takes:
    """One of some words."""
    return Takes(f"one of {', '.join(choices)}", lambda value: value in choices, choices)


def _is_place(value: object) -> bool:
    return (
        isinstance(value, tuple) and len(value) == 2 and all(type(one) is int and one >= 0 for one in value)
    )


def _is_positive(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and value > 0


_whole_24 = whole(1, MOST_OF_A_KIND).test
_drive = whole(1, 32).test
_ms = whole(0, LONGEST_MS).test


def _is_side(value: object) -> bool:
    return value in SIDES


def _is_weight(value: object) -> bool:
    return type(value) is int and value >= 0


def _is_stroke(value: object) -> bool:
    return isinstance(value, tuple) and len(value) == 2 and is_name(value[0]) and _ms(value[1])


def _is_cue(value: object) -> bool:
    return (
        isinstance(value, tuple) and len(value) == 2 and is_name(value[0]) and tuple_of(_is_stroke)(value[1])
    )


Name = Annotated[str, Takes("a name in small letters, digits, _ and .", is_name)]
Names = Annotated[tuple[str, ...], Takes("a tuple of names", tuple_of(is_name))]
Number = Annotated[int, whole(1, MOST_OF_A_KIND)]
Stop = Annotated[int, whole(0, MOST_OF_A_KIND)]
Input = Annotated[int, Takes("the number of a direct input, 1 to 32", whole(1, 32).test)]
Place = Annotated[tuple[int, int], Takes("(row, column), counted from 1", _is_place)]
Places = Annotated[tuple[tuple[int, int], ...], Takes("a tuple of (row, column)", tuple_of(_is_place))]
Drive = Annotated[int, Takes("a drive, 1 to 32", _drive)]
Drives = Annotated[tuple[int, ...], Takes("a tuple of drives", tuple_of(_drive))]
Players = Annotated[int, whole(1, 4)]
Ms = Annotated[int, whole(0, LONGEST_MS)]
SomeMs = Annotated[tuple[int, ...], Takes("a tuple of ms", tuple_of(_ms))]
Positive = Annotated[float, Takes("a number above 0", _is_positive)]
Volts = Annotated[float, Takes("volts, 0 or more", lambda value: value == 0 or _is_positive(value))]
Gauge = Annotated[int, whole(10, 44)]
Colour = Annotated[str, one_of(COLOUR_NAMES)]
Side = Annotated[str, one_of(SIDES)]
SomeSides = Annotated[tuple[str, ...], Takes("a tuple of left and right", tuple_of(_is_side))]
Weights = Annotated[tuple[int, ...], Takes("a tuple of whole numbers", tuple_of(_is_weight))]
Strokes = Annotated[
    tuple[tuple[str, tuple[tuple[str, int], ...]], ...],
    Takes("a tuple of cues, each (cue, ((chime, ms until the next), …))", tuple_of(_is_cue)),
]
Segments = Annotated[int, Takes("7 or 14", lambda value: value in (7, 14))]
Shows = Annotated[str, one_of(("score", "count"))]
Insulation = Annotated[str, one_of(("Y", "A", "E", "B", "F", "H"))]
Round = Annotated[int, whole(0, 3)]


def takes(hint: object) -> list[Takes]:
    """What a parameter with this annotation takes: one for each of its alternatives; None is left out."""
    if get_origin(hint) in (Union, types.UnionType):
        return [one for part in get_args(hint) for one in takes(part)]
    if get_origin(hint) is Annotated:
        return [one for one in get_args(hint)[1:] if isinstance(one, Takes)]
    if hint is type(None):
        return []
    assert isinstance(hint, type)
    return [_of_class(hint)]


def _of_class(kind: type) -> Takes:
    words = {str: "a text", bool: "True or False", int: "a whole number"}.get(kind, f"a {kind.__name__}(…)")
    return Takes(words, lambda value: type(value) is kind)
