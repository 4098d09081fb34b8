"""The machine file of a game that is being changed: lines are added to it, and its tables are made anew."""

import ast

from hil.authoring.draft import Draft
from hil.authoring.tidy import fold
from hil.machine import writing
from hil.machine.editing import made_of
from hil.machine.tables import MachineTables

FILE = "host/machine.py"
LINES = "MACHINE"


def is_described(draft: Draft) -> bool:
    """Whether the game has a machine file."""
    return draft.has(FILE)


def add_line(draft: Draft, line: str) -> None:
    """Add a line at the end of MACHINE."""
    text = draft.read(FILE)
    lines = text.splitlines()
    end = next(
        (node.value.end_lineno or len(lines))
        for node in ast.parse(text).body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == LINES
    )
    draft.change(FILE, "\n".join([*lines[: end - 1], *fold(f"    {line},"), *lines[end - 1 :]]) + "\n")


def tables(draft: Draft) -> MachineTables:
    """What the machine file gives. Raises GameError: its first complaint."""
    made, errors = made_of(draft.read(FILE), str(draft.folder / FILE))
    if made is None:
        raise errors[0]
    return made


def remake(draft: Draft) -> None:
    """Make wiring.py and host/tables.py of the machine file again. Raises GameError."""
    for file, text in writing.files(tables(draft)).items():
        draft.put(file, text)
