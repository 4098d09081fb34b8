"""Prints tables as Python source: a row a line, a longer one over several."""

from collections.abc import Iterable

WIDTH = 110
INDENT = "    "


def literal(value: object) -> str:
    """A plain value in one line, texts in double quotes."""
    if isinstance(value, tuple):
        inside = ", ".join(literal(one) for one in value)
        return f"({inside},)" if len(value) == 1 else f"({inside})"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return repr(value)


def row(value: object, depth: int) -> list[str]:
    """A row of a table with a comma behind it, broken at its tuples when it is too long."""
    pad = INDENT * depth
    line = f"{pad}{literal(value)},"
    if len(line) <= WIDTH or not isinstance(value, tuple):
        return [line]
    lines = [f"{pad}("]
    for one in value:
        lines += row(one, depth + 1)
    return [*lines, f"{pad}),"]


def table(name: str, rows: Iterable[object], columns: str = "") -> list[str]:
    """NAME = (…), with a comment that names the columns."""
    found = [line for one in rows for line in row(one, 1)]
    if not found:
        return [f"{name} = ()"]
    return [f"{name} = (", *([f"{INDENT}# {columns}"] if columns else []), *found, ")"]
