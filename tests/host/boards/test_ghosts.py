"""Ghosts of a matrix without diodes, against PyPI networkx and counts computed beforehand (ran)."""

from random import Random

import pytest

from hil.checks.ghosts import ghostly, reading

networkx = pytest.importorskip("networkx")

THREE_BY_THREE = {
    0: (0, 1), 1: (0, 9), 2: (0, 36), 3: (36, 84), 4: (108, 126), 5: (117, 126), 6: (78, 84),
    7: (36, 36), 8: (9, 9), 9: (0, 1),
}  # fmt: skip


def reachable(closed: list[tuple[int, int]], size: int) -> set[tuple[int, int]]:
    graph = networkx.Graph()
    graph.add_edges_from((("row", row), ("column", column)) for row, column in closed)
    return {
        (row, column)
        for row in range(size)
        for column in range(size)
        if graph.has_node(("row", row))
        and graph.has_node(("column", column))
        and networkx.has_path(graph, ("row", row), ("column", column))
    }


def test_readings_are_what_the_graph_reaches() -> None:
    rng = Random(1)
    crossings = [(row, column) for row in range(8) for column in range(8)]
    for _ in range(150):
        closed = rng.sample(crossings, rng.randrange(0, 10))
        assert reading(closed) == reachable(closed, 8)


@pytest.mark.parametrize("closed", range(10))
def test_a_three_by_three_matrix_has_as_many_ghosts_as_counted(closed: int) -> None:
    assert ghostly(3, 3, closed) == THREE_BY_THREE[closed]


def test_an_eight_by_eight_matrix_with_three_closed() -> None:
    assert ghostly(8, 8, 3) == (3136, 41664)
