"""The stand-in's page and the files that go onto its flash, compared with its code."""

import ast
import re
from pathlib import Path

from boards.stand_in import pins
from boards.stand_in.contacts import MATRIX
from boards.stand_in.samples import FIRST_LAMP
from hil.build import stand_in

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "boards" / "stand_in" / "README.md").read_text(encoding="utf-8")
OF_THE_CHIP = {"machine", "micropython", "rp2", "uctypes", "array", "hashlib", "select", "sys", "time"}


def test_the_pin_table_of_the_page_is_that_of_the_code():
    rows = re.findall(r"^\| ([\d to]+) \| `(\w+)` \| (\w+) \| (\d?) \| (.+) \|$", PAGE, re.M)
    expected = [
        (
            f"{first} to {first + count - 1}" if count > 1 else str(first),
            name,
            direction,
            "" if safe is None else str(safe),
            words,
        )
        for name, first, count, direction, safe, words in pins.PINS
    ]
    assert rows == expected


def test_places_and_lines_begin_where_page_and_bench_take_them_to():
    assert MATRIX == pins.COLUMNS * pins.ROWS == 64
    assert FIRST_LAMP > pins.DRIVES


def test_every_module_that_is_imported_goes_onto_the_flash_and_no_other():
    files = stand_in.files()
    needed = {"main.py"}
    left = ["main.py"]
    while left:
        for path in imported(files[left.pop()].decode()):
            if path not in needed:
                assert path in files, f"{path} is imported and not copied"
                needed.add(path)
                left.append(path)
    packages = {str(parent / "__init__.py") for path in needed for parent in list(Path(path).parents)[:-1]}
    assert needed | packages == set(files)


def imported(source: str) -> set[str]:
    """The files that a module imports at run time, without those of the chip."""
    found = set()
    for node in ast.walk(at_run_time(ast.parse(source))):
        if isinstance(node, ast.Import):
            names = [one.name for one in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [f"{node.module}.{one.name}" for one in node.names] + [str(node.module)]
        else:
            continue
        found |= {name.replace(".", "/") + ".py" for name in names if name.split(".")[0] not in OF_THE_CHIP}
    return {path for path in found if (ROOT / path).is_file()}


def at_run_time(tree: ast.Module) -> ast.Module:
    tree.body = [node for node in tree.body if not is_for_types(node)]
    return tree


def is_for_types(node: ast.stmt) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def test_the_folder_is_written_and_wrong_words_are_refused(tmp_path, capsys):
    assert stand_in.main([str(tmp_path / "out")]) == 0
    assert (tmp_path / "out" / "boards" / "stand_in" / "session.py").is_file()
    assert "mpremote" in capsys.readouterr().out
    assert stand_in.main([]) == 2
    assert "FOLDER" in capsys.readouterr().err
