"""A game of one's own as a copy of another."""

import shutil
from pathlib import Path

from hil.games import Game

LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyc", "*.mpy")


def copy(model: Game, folder: Path) -> list[str]:
    """Copy a game into a folder that is not there yet, under the folder's name; the files that it has."""
    name = folder.name
    shutil.copytree(model.folder, folder, ignore=LEFT_OUT)
    for file in folder.rglob("*.py"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace(model.package, name), encoding="utf-8")
    _rename(folder / "game.py", model.name, name)
    return [str(file) for file in folder.rglob("*") if file.is_file()]


def _rename(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    title = new.replace("_", " ").upper()[:16]
    text = text.replace(f'NAME = "{old}"', f'NAME = "{new}"')
    text = text.replace(f'TITLE = b"{old.replace("_", " ").upper()}"', f'TITLE = b"{title}"')
    file.write_text(text, encoding="utf-8")
