"""The shape of packed charts. For type checkers: no firmware imports it at run time, no image holds it."""

from typing import Protocol, Unpack

Call = tuple[int, Unpack[tuple[str, ...]]]  # the chart whose owner has the methods, then their names in order
History = tuple[int, bool, tuple[int, ...], int, int, int, int]  # parent, deep, default, content, slot …
Recall = tuple[int, tuple[int, ...], bool]  # of a transition: its number, targets, whether it is external
PackedPaths = tuple[
    tuple[tuple[int, tuple[int, ...]], ...],  # initial, by state
    tuple[History, ...],
    tuple[tuple[int, int], ...],  # content, by plan code
    tuple[Recall, ...],
    tuple[int, ...],  # the chart of each slot
]


class PackedCharts(Protocol):
    """The module of constants that the host makes of a game's charts; charts.unpack says what they are.

    It has a constant for each of charts.unpack.COLUMNS besides.
    """

    EVENTS: tuple[str, ...]
    REGIONS: tuple[str, ...]
    OWNERS: tuple[int, ...]
    CALLS: tuple[Call, ...]
    PATHS: PackedPaths | tuple[()]
