"""Lines of a game's Python files: where a name is set, where a row of a table or a text is."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROW = re.compile(r"(?:(?P<table>[A-Z]+)|\w+ '(?P<owner>[^']+)')(?:, options)?, row (?P<number>\d+)")
QUOTED = re.compile(r"(?<!\w)'([^']+)'")


def tree_of(path: Path) -> ast.Module:
    """The file's syntax tree; an empty one when it is no Python, which is reported elsewhere."""
    try:
        return ast.parse(path.read_bytes())
    except (OSError, SyntaxError, ValueError):
        return ast.Module([], [])


def assigned(tree: ast.Module, name: str) -> ast.expr | None:
    """What the module sets `name` to."""
    for node in tree.body:
        targets = node.targets if isinstance(node, ast.Assign) else ()
        if isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id == name for t in targets):
            return node.value
    return None


def class_of(tree: ast.Module, name: str) -> ast.ClassDef | None:
    """The class of this name."""
    return next((node for node in tree.body if isinstance(node, ast.ClassDef) and node.name == name), None)


def elements(node: ast.AST | None) -> list[ast.expr]:
    """The entries of a tuple as written; none of anything else."""
    return node.elts if isinstance(node, ast.Tuple) else []


def of_error(text: str, paths: list[Path]) -> tuple[Path, int] | None:
    """The file and line that a sentence is about: the row that it counts, or a name that it quotes."""
    for path in paths:
        tree = tree_of(path)
        line = _counted_row(text, tree) or _quoted(text, tree)
        if line:
            return path, line
    return None


def _counted_row(text: str, tree: ast.Module) -> int:
    found = ROW.search(text)
    if not found:
        return 0
    number = int(found["number"])
    table = assigned(tree, found["table"]) if found["table"] else _owned(tree, found["owner"])
    rows = elements(table)
    return rows[number - 1].lineno if len(rows) >= number else 0


def _owned(tree: ast.Module, owner: str) -> ast.expr | None:
    """The first tuple in the row that begins with the text `owner`."""
    for node in ast.walk(tree):
        row = elements(node)
        if row and isinstance(row[0], ast.Constant) and row[0].value == owner:
            return next((one for one in row[1:] if isinstance(one, ast.Tuple)), None)
    return None


def _quoted(text: str, tree: ast.Module) -> int:
    """The line of the last text quoted before a near miss that the file has, since owners are named first."""
    names = QUOTED.findall(text.partition("; did you mean")[0])
    written = dict(reversed(list(_texts(tree))))
    return next((written[name] for name in reversed(names) if name in written), 0)


def _texts(tree: ast.Module) -> Iterator[tuple[str, int]]:
    found = [n for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)]
    yield from ((str(node.value), node.lineno) for node in sorted(found, key=lambda node: node.lineno))
