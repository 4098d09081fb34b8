"""A copy of a tree, in which mutants are planted one at a time. What is copied is only read."""

import compileall
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

import hil
from firmware.base.errors import UsageError

TOP = Path(hil.__path__[0]).parent
FOLDERS = ("firmware", "boards", "simulator", "hil", "tests")
LATER_S = 100  # a changed file is that much younger, so that no compiled one is taken for it


@dataclass(frozen=True)
class Tree:
    """What is copied: `folders` of the folder `top`, as far as they are there, and its pages and settings."""

    top: Path
    folders: tuple[str, ...]

    @property
    def has_firmware(self) -> bool:
        """Whether the firmware is one of its folders; otherwise a game of one's own is copied alone."""
        return "firmware" in self.folders


CHECKOUT = Tree(TOP, FOLDERS)


class TreeCopy:
    """A copy of a tree in the folder `into`, which must be empty."""

    def __init__(self, into: Path, tree: Tree = CHECKOUT) -> None:
        self.top = into
        self.tree = tree
        for name in tree.folders:
            if (tree.top / name).is_dir():
                shutil.copytree(tree.top / name, into / name, ignore=shutil.ignore_patterns("__pycache__"))
        if tree.has_firmware:
            for path in tree.top.iterdir():
                if path.is_file() and path.suffix in (".md", ".toml"):
                    shutil.copy2(path, into / path.name)
        compileall.compile_dir(into, quiet=2, workers=1)

    @property
    def import_path(self) -> str:
        """The PYTHONPATH on which the copy is imported, and what it does not have from this checkout."""
        return os.pathsep.join((str(self.top), str(TOP)))

    def write(self, file: str, text: str) -> None:
        """Put `text` into a file, relative to the top."""
        (self.top / file).write_text(text, encoding="utf-8")
        time = (self.tree.top / file).stat().st_mtime + LATER_S
        os.utime(self.top / file, (time, time))

    def restore(self, file: str) -> None:
        """Make a file what it was again."""
        shutil.copy2(self.tree.top / file, self.top / file)


def source_files(where: list[str], top: Path = TOP) -> list[str]:
    """The Python files, relative to the top, of files and folders given so. Raises UsageError.

    Left out: `host` folders, whose modules no board runs, and wiring tables made from a machine file.
    """
    found: list[str] = []
    for name in where:
        path = top / name
        if not path.exists():
            raise UsageError("there is no such file or folder in the checkout", name)
        for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            inside = file.relative_to(top)
            if "host" not in inside.parts and not _is_made(file):
                found.append(inside.as_posix())
    return sorted(set(found))


def _is_made(file: Path) -> bool:
    """Whether a file is the wiring table of a game."""
    return file.name == "wiring.py" and (file.parent / "game.py").is_file()
