"""`inlane new`: a game of one's own, begun as a copy of a small one."""

import keyword
import shutil
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games

LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyc", "*.mpy")


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(new)


def new(
    folder: Annotated[Path, typer.Argument(help="The folder to make; its name is the game's.")],
    like: Annotated[str, typer.Option("--like", help="The game to begin from.")] = "kit_room",
) -> None:
    """Make a game folder of your own that plays at once.

    Example: inlane new my_game, then inlane play ./my_game
    """
    name = folder.resolve().name
    if not name.isidentifier() or keyword.iskeyword(name):
        raise UsageError(f"a game's folder is imported, so '{name}' has to be a Python name, such as my_game")
    if folder.exists():
        raise UsageError(f"'{folder}' is there already; nothing was changed")
    model = games.load(like)
    shutil.copytree(model.folder, folder, ignore=LEFT_OUT)
    for file in folder.rglob("*.py"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace(model.package, name), encoding="utf-8")
    _rename(folder / "game.py", model.name, name)
    print(f"made {folder} from {model.name}; try: inlane check {folder}, inlane play {folder}")


def _rename(file: Path, old: str, new_name: str) -> None:
    text = file.read_text(encoding="utf-8")
    title = new_name.replace("_", " ").upper()[:16]
    text = text.replace(f'NAME = "{old}"', f'NAME = "{new_name}"')
    text = text.replace(f'TITLE = b"{old.replace("_", " ").upper()}"', f'TITLE = b"{title}"')
    file.write_text(text, encoding="utf-8")
