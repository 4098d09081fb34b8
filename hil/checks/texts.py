"""Every file of a game as text: its encoding, Python's grammar, and commas that are missing."""

import ast
from collections.abc import Iterator
from pathlib import Path

from hil.checks.source import Finding

KINDS = (".py", ".play", ".md")
MARK = b"\xef\xbb\xbf"
LONGEST = 60  # characters of a row in a message


def text_findings(folder: Path, shown: str) -> Iterator[Finding]:
    """What of the game's files is no UTF-8 text, or no Python; nothing is imported."""
    for path in sorted(path for path in folder.rglob("*") if path.suffix in KINDS and path.is_file()):
        where = f"{shown}/{path.relative_to(folder).as_posix()}"
        try:
            data = path.read_bytes()
        except OSError as error:
            yield Finding(f"the file cannot be read: {error.strerror or error}", where)
            continue
        problem = _encoding(data) or (_grammar(data) if path.suffix == ".py" else None)
        if problem:
            line, text = problem
            yield Finding(text, f"{where}:{line}")


def _encoding(data: bytes) -> tuple[int, str] | None:
    """Line and sentence of the first byte that is not plain UTF-8 text."""
    if data.startswith(MARK):
        return 1, "the file begins with a byte order mark; save it as UTF-8 without one"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return data[: error.start].count(b"\n") + 1, "this byte is no UTF-8; save the file as UTF-8"
    if b"\0" in data:
        return data[: data.index(b"\0")].count(b"\n") + 1, "the file has a byte 0 in it, which is no text"
    return None


def _grammar(data: bytes) -> tuple[int, str] | None:
    try:
        tree = ast.parse(data)
    except SyntaxError as error:
        return error.lineno or 1, error.msg
    except (ValueError, RecursionError, MemoryError) as error:
        return 1, f"Python cannot read this file: {error}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Tuple | ast.Constant):
            row = ast.unparse(node.func)
            row = row if len(row) <= LONGEST else row[:LONGEST] + "…"
            return node.func.end_lineno or node.lineno, f"a comma is missing behind {row}"
    return None
