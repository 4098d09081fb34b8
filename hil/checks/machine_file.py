"""The machine file by itself, and whether the tables are what it gives."""

from collections.abc import Iterator
from pathlib import Path

from firmware.base.errors import GameError
from hil.checks.source import Finding
from hil.machine import writing
from hil.machine.expanding import FILE, expand


def machine_findings(folder: Path, shown: str, name: str) -> Iterator[Finding]:
    """Every complaint about a machine file, else each file that `inlane machine` would write otherwise.

    A game without a machine file has its tables by hand.
    """
    if not (folder / FILE).is_file():
        return
    try:
        made, errors = expand(folder / FILE, f"{shown}/{FILE}")
    except GameError as error:
        yield Finding(error.text, error.where)
        return
    for complaint in errors:
        yield Finding(complaint.text, complaint.where)
    files = writing.files(made) if made else {}
    for path in writing.stale(folder, made) if made else ():
        line = _first_difference(folder / path, files[path])
        yield Finding(f"it is not what {FILE} gives; run: inlane machine {name}", f"{shown}/{path}:{line}")


def _first_difference(path: Path, text: str) -> int:
    """The first line in which the file is not `text`."""
    there = path.read_text(encoding="utf-8", errors="replace").splitlines() if path.is_file() else []
    pairs = enumerate(zip(there, text.splitlines(), strict=False), 1)
    return next((at for at, (old, new) in pairs if old != new), max(1, len(there)))
