"""How often simulated players try a shot: the rows of a game's host/season.py."""

import ast

from hil.authoring.draft import Draft

FILE = "host/season.py"
TABLE = "_SHOTS"
NOT_TRIED = ("drain", "plunge")
USUAL_WEIGHT = 8


def weights(shots: "list[str]") -> list[tuple[str, int]]:
    """The usual odds of shots; a plunge and a drain are no shots that a player tries."""
    return [(shot, USUAL_WEIGHT) for shot in shots if shot not in NOT_TRIED]


def add_shots(draft: Draft, shots: "list[str]") -> None:
    """Put shots at the end of the table, where the game has one that is a plain tuple."""
    if not draft.has(FILE):
        return
    text = draft.read(FILE)
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == TABLE:
            lines = text.splitlines()
            end = (node.value.end_lineno or len(lines)) - 1
            rows = [f'    ("{shot}", {weight}),' for shot, weight in weights(shots)]
            draft.change(FILE, "\n".join([*lines[:end], *rows, *lines[end:]]) + "\n")
