"""What a script may name: everything one game has."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from hil.names import Names


class Range(NamedTuple):
    """The values a setting or a shot's option takes."""

    least: int
    most: int
    unit: str = ""


@dataclass(frozen=True)
class Vocabulary:
    """Names of one game, with what is needed to check a script before it runs.

    `still` holds each switch's debounce times (ms closing, ms opening); `shots` each shot's options.
    """

    names: Names
    still: dict[str, tuple[int, int]] = field(default_factory=dict)
    shots: dict[str, dict[str, Range]] = field(default_factory=dict)
    settings: dict[str, Range] = field(default_factory=dict)
    features: Sequence[str] = ()
    places: Sequence[str] = ()
