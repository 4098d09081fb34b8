"""A copy of the tree, in which mutants are planted one at a time. The checkout is only read."""

import compileall
import os
import shutil
from pathlib import Path

import hil
from firmware.base.errors import UsageError

TOP = Path(hil.__path__[0]).parent
FOLDERS = ("firmware", "boards", "simulator", "hil", "tests")
LATER_S = 100  # a changed file is that much younger, so that no compiled one is taken for it


class TreeCopy:
    """A copy of the checkout in the folder `into`, which must be empty."""

    def __init__(self, into: Path) -> None:
        self.top = into
        for name in FOLDERS:
            if (TOP / name).is_dir():
                shutil.copytree(TOP / name, into / name, ignore=shutil.ignore_patterns("__pycache__"))
        for path in TOP.iterdir():
            if path.is_file() and path.suffix in (".md", ".toml"):
                shutil.copy2(path, into / path.name)
        compileall.compile_dir(into, quiet=2, workers=1)

    def write(self, file: str, text: str) -> None:
        """Put `text` into a file, relative to the top."""
        (self.top / file).write_text(text, encoding="utf-8")
        time = (TOP / file).stat().st_mtime + LATER_S
        os.utime(self.top / file, (time, time))

    def restore(self, file: str) -> None:
        """Make a file the checkout's again."""
        shutil.copy2(TOP / file, self.top / file)


def source_files(where: list[str]) -> list[str]:
    """The Python files, relative to the top, of files and folders given so. Raises UsageError.

    Left out: `host` folders, whose modules no board runs, and wiring tables made from a machine file.
    """
    found: list[str] = []
    for name in where:
        path = TOP / name
        if not path.exists():
            raise UsageError("there is no such file or folder in the checkout", name)
        for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            inside = file.relative_to(TOP)
            if "host" not in inside.parts and not (inside.name == "wiring.py" and "games" in inside.parts):
                found.append(inside.as_posix())
    return sorted(set(found))
