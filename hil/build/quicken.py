"""Compiles the firmware's and the plant's inner modules for this Python with mypyc, in a copy of the sources.

In the copy each class gets a decorator, so that others may inherit from it, constants are final, rows of
numbers are lists, and protocols that are for type checkers alone move to where mypyc takes them. What is
checked in stays as it is.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from firmware.base.errors import UsageError
from hil.compiled import INDEX, MODULES, ROOT, source, stamp

COPIED = ("firmware", "simulator", "hil", "boards", "pyproject.toml")
LIBRARY = "__mypyc"  # the end of the name of the library that the modules share
DECORATOR = "@mypyc_attr(allow_interpreted_subclasses=True)\n"
IMPORTS = "from typing import Final\n\nfrom mypy_extensions import mypyc_attr\n"
HEAD = re.compile(r'(""".*?"""\n)', re.S)
CLASS = re.compile(r"^((?:@dataclass.*\n)?)(class \w+(?:\((?!Protocol|NamedTuple).*?\))?:)", re.M)
CONSTANT = re.compile(r"^(?!TYPE_CHECKING)(_?[A-Z][A-Z0-9_]*) = (?:const\(([^()]+)\))?", re.M)
NUMBERS = "firmware/base/numbers.py"  # has the type of rows of numbers, which are lists here
FOR_BOARDS = re.compile(r"^    if in_arrays:\n        return .*\n", re.M)
CHECKED = re.compile(r"^TYPE_CHECKING = False\nif TYPE_CHECKING:\n((?:    .*\n|\n)+)", re.M)


def compile_into(folder: Path) -> int:
    """Compile MODULES into `folder`, for INLANE_COMPILED; how many. Raises UsageError with mypyc's reason."""
    if shutil.which("mypyc") is None:
        raise UsageError("there is no mypyc here; pip install 'inlane[quick]'")
    folder.mkdir(parents=True, exist_ok=True)
    made_from = stamp()  # before the copy: a source that changes meanwhile is not what is compiled
    with tempfile.TemporaryDirectory(prefix="inlane_quick_") as place:
        copy = Path(place)
        for name in COPIED:
            _copy(ROOT / name, copy / name)
        numbers = copy / NUMBERS
        numbers.write_text(in_lists(numbers.read_text(encoding="utf-8")), encoding="utf-8")
        for module in MODULES:
            path = copy / source(module).relative_to(ROOT)
            path.write_text(adapted(path.read_text(encoding="utf-8")), encoding="utf-8")
        _run_mypyc(copy)
        files = _collect(copy, folder)
    index = {"stamp": made_from, "files": files}
    (folder / INDEX).write_text(json.dumps(index, indent=1), encoding="utf-8")
    return len(files)


def adapted(text: str) -> str:
    """The source of a module as mypyc takes it."""
    head = HEAD.match(text)
    at = head.end() if head else 0
    text = text[:at] + IMPORTS + CONSTANT.sub(r"\1: Final = \2", CLASS.sub(DECORATOR + r"\1\2", text[at:]))
    checked = CHECKED.search(text)
    if checked is None or "    class " not in checked[1]:
        return text
    first = checked[1].index("    class ")
    imports = checked[1][:first].replace("    from typing import Protocol\n", "")
    protocols = re.sub(r"^    ", "", checked[1][first:], flags=re.M)
    opened = "TYPE_CHECKING = False\nif TYPE_CHECKING:\n    pass\n" + imports
    return (
        text[: checked.start()]
        + opened
        + "from typing import Protocol\n\n"
        + protocols
        + text[checked.end() :]
    )


def in_lists(text: str) -> str:
    """The source of NUMBERS for a Python whose rows of numbers are always lists."""
    return FOR_BOARDS.sub("", text).replace("Numbers = MutableSequence[int]", "Numbers = list[int]")


def _copy(there: Path, here: Path) -> None:
    if there.is_dir():
        shutil.copytree(there, here, ignore=shutil.ignore_patterns("__pycache__", "*.play", "*.so"))
    elif there.is_file():
        shutil.copy(there, here)


def _run_mypyc(copy: Path) -> None:
    paths = [str(source(module).relative_to(ROOT)) for module in MODULES]
    environment = dict(os.environ, MYPYC_OPT_LEVEL="1", PYTHONPATH=str(copy))
    environment.pop("INLANE_COMPILED", None)
    done = subprocess.run(
        [str(shutil.which("mypyc")), *paths], cwd=copy, env=environment, capture_output=True, text=True
    )
    if done.returncode:
        said = [line for line in (done.stdout + done.stderr).splitlines() if "error" in line]
        raise UsageError(f"mypyc does not compile it: {(said or ['no reason given'])[0]}")


def _collect(copy: Path, folder: Path) -> dict[str, str]:
    """Move the libraries into `folder`; by module the file of each."""
    files = {}
    for path in sorted(copy.rglob("*.so")) + sorted(copy.rglob("*.pyd")):
        if "build" in path.relative_to(copy).parts[:1]:
            continue
        module = ".".join(path.relative_to(copy).parts).split(".cpython")[0].split(".cp3")[0]
        shutil.copy(path, folder / path.name if LIBRARY in module else folder / f"{module}{path.suffix}")
        files[module] = path.name if LIBRARY in module else f"{module}{path.suffix}"
    missing = [module for module in MODULES if module not in files]
    if missing:
        raise UsageError(f"mypyc made no {missing[0]} for {sys.implementation.cache_tag}")
    return files
