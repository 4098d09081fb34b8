"""Adds a line to a machine file: where its wires are free, the text with the line, and what it then gives."""

import ast
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import GameError, UsageError
from hil.machine.expanding import expand
from hil.machine.places import LINE, Wire
from hil.machine.reading import MACHINE
from hil.machine.tables import MachineTables

ROWS = 8
DRIVES = 24


@dataclass(frozen=True)
class Free:
    """What of a machine's wires and drives is taken."""

    switches: frozenset[Wire]
    lamps: frozenset[Wire]
    drives: frozenset[int]

    def switch(self, count: int) -> Wire:
        """The first of `count` free places of the switch matrix that follow each other. Raises UsageError."""
        return _first_run(self.switches, count, "switches")

    def lamp(self, count: int) -> Wire:
        """The first of `count` free places of the lamp matrix. Raises UsageError."""
        return _first_run(self.lamps, count, "lamps")

    def drive(self, count: int) -> int:
        """The first of `count` free drives that follow each other. Raises UsageError."""
        for first in range(1, DRIVES + 2 - count):
            if not self.drives.intersection(range(first, first + count)):
                return first
        raise UsageError(f"no {count} drives in a row are free among {DRIVES}; give --drive")


def free(made: MachineTables) -> Free:
    """What a machine has not taken yet."""
    return Free(
        frozenset((row.row, row.column) for row in made.wiring.SWITCHES),
        frozenset((row.row, row.column) for row in made.wiring.LAMPS),
        frozenset(row.drive for row in made.wiring.COILS),
    )


def _first_run(taken: Iterable[Wire], count: int, what: str) -> Wire:
    used = set(taken)
    places = [(row, column) for row in range(1, ROWS + 1) for column in range(1, LINE + 1)]
    for at in range(len(places) - count + 1):
        if not used.intersection(places[at : at + count]):
            return places[at]
    raise UsageError(
        f"no {count} places in a row are free for {what} in a matrix of {ROWS} × {LINE}; give --at"
    )


def with_line(text: str, line: str) -> str:
    """The text with a line more at the end of MACHINE, which must be a tuple over several lines.

    Raises GameError when it is not.
    """
    lines = text.splitlines()
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == MACHINE:
            end = node.value.end_lineno or 0
            if lines[end - 1].strip() == ")":
                return "\n".join([*lines[: end - 1], line, *lines[end - 1 :]]) + "\n"
    raise GameError(f"{MACHINE} has to be a tuple that ends with ) in a line of its own")


def made_of(text: str, shown: str) -> tuple[MachineTables | None, list[GameError]]:
    """What a machine file of this text gives, or every complaint."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "machine.py"
        path.write_text(text, encoding="utf-8")
        return expand(path, shown)


def windings(text: str) -> list[str]:
    """The names of the windings of a machine file."""
    found = [node for node in ast.parse(text).body if isinstance(node, ast.Assign)]
    return [
        ast.unparse(node.targets[0])
        for node in found
        if isinstance(node.value, ast.Call) and ast.unparse(node.value.func) == "Winding"
    ]


def winding_of(text: str, kind: str) -> str:
    """The winding that the first line of this kind has; "" when there is none."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == kind:
            inside = [one for one in ast.walk(node) if isinstance(one, ast.Call)]
            coils = [one for one in inside if ast.unparse(one.func) == "Coil" and len(one.args) > 1]
            if coils:
                return ast.unparse(coils[0].args[1])
    return ""
