"""The console may ask the board's core whatever it may ask the plain one; no answer is the plain one's."""

import ast
from pathlib import Path

import boards
import firmware

READS = ("first",)  # looks at the cells alone, which are the callback's


def methods(path: Path, name: str) -> dict[str, int]:
    """Public methods of a class and how many arguments each takes."""
    (found,) = [
        node
        for node in ast.parse(path.read_text()).body
        if isinstance(node, ast.ClassDef) and node.name == name
    ]
    return {
        each.name: len(each.args.args)
        for each in found.body
        if isinstance(each, ast.FunctionDef) and not each.name.startswith("_")
    }


def test_the_boards_core_answers_every_call_of_the_plain_one() -> None:
    plain = methods(Path(firmware.__path__[0]) / "devices/core.py", "Core")
    live = methods(Path(boards.__path__[0]) / "pico_matrix/live.py", "LiveCore")
    assert "driven" in plain
    asked = {name: arguments for name, arguments in plain.items() if name not in READS}
    assert {name: live.get(name) for name in asked} == asked
