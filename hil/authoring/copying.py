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
    old, new = model.module.TITLE.decode(), name.replace("_", " ").upper()[:16]
    _replace(folder / "game.py", {f'"{model.name}"': f'"{name}"', f'b"{old}"': f'b"{new}"'})
    for script in (folder / "scripts").rglob("*.play"):
        _replace(script, {f'"{old}"': f'"{new}"'})
    return [str(file) for file in folder.rglob("*") if file.is_file()]


def _replace(file: Path, words: dict[str, str]) -> None:
    text = file.read_text(encoding="utf-8")
    for old, new in words.items():
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
