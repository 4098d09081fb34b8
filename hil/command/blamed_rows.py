"""The chart rows that a line of a rule belongs to, read from its file's text; it need not be importable."""

import ast
from pathlib import Path

from simulator.desk.files import Line

CHART = "chart"


def source_line(path: Path, number: int) -> Line:
    """A line of a file as it is written; empty where there is none."""
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        lines = []
    return Line(number, lines[number - 1].strip() if 0 < number <= len(lines) else "")


def rows_at(path: Path, number: int) -> list[Line]:
    """The rows of the chart that name the method in which this line is, or the row that it is part of."""
    try:
        tree = ast.parse(path.read_text(encoding="utf-8"))
    except (OSError, SyntaxError, ValueError):
        return []
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef) and _holds(node, number):
            return [source_line(path, row.lineno) for row in _rows(node) if _involves(node, row, number)]
    return []


def _holds(node: ast.stmt | ast.expr, number: int) -> bool:
    return node.lineno <= number <= (node.end_lineno or node.lineno)


def _rows(owner: ast.ClassDef) -> list[ast.expr]:
    """The rows of the chart that a class body assigns."""
    for node in owner.body:
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        names = [one.id for one in targets if isinstance(one, ast.Name)]
        value = getattr(node, "value", None)
        if CHART in names and isinstance(value, ast.Tuple):
            return value.elts
    return []


def _involves(owner: ast.ClassDef, row: ast.expr, number: int) -> bool:
    if _holds(row, number):
        return True
    methods = {
        one.name for one in owner.body if isinstance(one, ast.FunctionDef) and _holds(one, number)
    } | _callers(owner, number)
    words = {
        word
        for node in ast.walk(row)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        for word in node.value.split()
    }
    return bool(methods & words)


def _callers(owner: ast.ClassDef, number: int) -> set[str]:
    """The methods of a class that call the one in which a line is."""
    methods = [one for one in owner.body if isinstance(one, ast.FunctionDef)]
    inner = {one.name for one in methods if _holds(one, number)}
    return {
        one.name
        for one in methods
        for node in ast.walk(one)
        if isinstance(node, ast.Attribute) and node.attr in inner
    }
