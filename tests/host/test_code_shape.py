"""Limits that no linter has: long functions and ignored types, each with its planted fault."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDERS = ("firmware", "boards", "simulator", "hil")
LINES = 40
FLAT = ("firmware/devices/native/", "boards/pico_matrix/isr.py")  # machine code: a call costs stack and time
LONG = {
    "hil/command/coil.py:coil",
    "hil/command/play.py:play",
    "hil/command/season.py:season",
}
IGNORED = re.compile(r"#\s*(type|pyright):\s*ignore")


def sources() -> Iterator[tuple[str, str]]:
    """Path and text of every module."""
    for folder in FOLDERS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            yield path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8")


def long_functions(path: str, text: str) -> list[str]:
    """Functions longer than allowed, as PATH:NAME."""
    found = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef)]
    return [f"{path}:{node.name}" for node in found if (node.end_lineno or 0) - node.lineno >= LINES]


def test_no_function_is_longer_than_forty_lines() -> None:
    found = [
        name for path, text in sources() if not path.startswith(FLAT) for name in long_functions(path, text)
    ]
    assert set(found) == LONG


def test_a_function_that_is_too_long_would_be_found() -> None:
    body = "    pass\n"
    assert long_functions("x.py", "def f():\n" + body * LINES) == ["x.py:f"]
    assert long_functions("x.py", "def f():\n" + body * (LINES - 1)) == []


def test_no_type_error_is_ignored_in_a_comment() -> None:
    assert [path for path, text in sources() if IGNORED.search(text)] == []


def test_an_ignored_type_error_would_be_found() -> None:
    assert IGNORED.search("x = f()  # type" + ": ignore[attr-defined]")
    assert IGNORED.search("x = f()  #pyright" + ": ignore")
