"""The changes between two folders of a game: files, and the changed places of each."""

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import UsageError

LEFT_OUT = ("__pycache__", ".git")
PYTHON = ".py"


@dataclass(frozen=True)
class Hunk:
    """In `file`, the old lines from `begin` to `end` (from 0, without `end`) become `new`.

    `whole`: the file is new (`begin` and `end` are 0) or gone.
    """

    file: str
    begin: int
    end: int
    old: tuple[str, ...]
    new: tuple[str, ...]
    whole: str = ""

    def lines(self) -> Iterator[str]:
        """The hunk as in a patch, below its place."""
        yield f"{self.file}:{self.begin + 1}{f' ({self.whole})' if self.whole else ''}"
        yield from (f"- {line}" for line in self.old)
        yield from (f"+ {line}" for line in self.new)


ADDED, REMOVED = "the file is new", "the file is gone"


def changes(old: Path, new: Path) -> list[Hunk]:
    """The hunks of all Python files that differ between two folders, in the order of their places.

    Raises UsageError when a file is no UTF-8 text.
    """
    there, here = _texts(old), _texts(new)
    found: list[Hunk] = []
    for file in sorted(set(there) | set(here)):
        if file not in there:
            found.append(Hunk(file, 0, 0, (), here[file], ADDED))
        elif file not in here:
            found.append(Hunk(file, 0, len(there[file]), there[file], (), REMOVED))
        else:
            found += _hunks(file, there[file], here[file])
    return found


def _texts(folder: Path) -> dict[str, tuple[str, ...]]:
    found = {}
    for path in sorted(folder.rglob("*" + PYTHON)):
        if not set(LEFT_OUT) & set(path.relative_to(folder).parts):
            try:
                text = path.read_text(encoding="utf-8")
            except (OSError, UnicodeDecodeError) as error:
                raise UsageError(f"the file cannot be read: {error}", str(path)) from None
            found[path.relative_to(folder).as_posix()] = tuple(text.split("\n"))
    return found


def _hunks(file: str, old: tuple[str, ...], new: tuple[str, ...]) -> Iterator[Hunk]:
    for kind, begin, end, first, last in difflib.SequenceMatcher(None, old, new, False).get_opcodes():
        if kind != "equal":
            yield Hunk(file, begin, end, old[begin:end], new[first:last])


def apply(hunks: list[Hunk], folder: Path) -> None:
    """Make hunks of the old folder's files in a copy of it."""
    for file in dict.fromkeys(hunk.file for hunk in hunks):
        inside = [hunk for hunk in hunks if hunk.file == file]
        path = folder / file
        if inside[0].whole == REMOVED:
            path.unlink()
            continue
        lines = [] if inside[0].whole else path.read_text(encoding="utf-8").split("\n")
        for hunk in sorted(inside, key=lambda hunk: -hunk.begin):
            lines[hunk.begin : hunk.end] = hunk.new
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("\n".join(lines), encoding="utf-8")
