"""What a switch matrix without diodes reads: crossings that closed switches connect by a way round."""

from collections.abc import Iterable
from itertools import combinations

Crossing = tuple[int, int]  # row, column


def reading(closed: Iterable[Crossing]) -> set[Crossing]:
    """Every crossing that reads closed: those closed, and the ghosts among them."""
    groups: list[tuple[set[int], set[int]]] = []
    for row, column in closed:
        joined = ({row}, {column})
        apart = []
        for rows, columns in groups:
            if row in rows or column in columns:
                joined = (joined[0] | rows, joined[1] | columns)
            else:
                apart.append((rows, columns))
        groups = [*apart, joined]
    return {(row, column) for rows, columns in groups for row in rows for column in columns}


def ghostly(rows: int, columns: int, closed: int) -> tuple[int, int]:
    """Of all ways to close so many switches of a matrix: (those with a ghost, all)."""
    crossings = [(row, column) for row in range(rows) for column in range(columns)]
    ways = 0
    bad = 0
    for some in combinations(crossings, closed):
        ways += 1
        bad += len(reading(some)) > closed
    return bad, ways
