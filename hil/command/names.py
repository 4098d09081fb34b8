"""`inlane names`: what an editor needs to complete a game's names and to underline a wrong one."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import GameError
from hil import games
from hil.authoring import editor
from hil.bench.outcome import PASS
from hil.checks.build import shown


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(names)


def names(game: Annotated[str, typer.Argument(help="A game's name, or its folder.")]) -> int:
    """Write a stub of the game's names and a configuration, for editors with pyright or pylance.

    Example: inlane names ./my_game

    Switches, lamps, coils, cues, settings, features, events and awards then complete inside quotes, and a
    wrong one is underlined. Open the game's own folder in the editor. inlane new writes the same; inlane add
    and inlane check renew the stub where there is one.
    """
    found = games.load(game)
    for name in editor.write(found):
        print(f"{shown(found.folder)}/{name}")
    return PASS


def write_new(folder: Path) -> list[str]:
    """Write the same into a game that was just made; the names of the files, none when it cannot be built."""
    try:
        with _read_anew(str(folder)) as game:
            return editor.write(game)
    except GameError as error:
        typer.echo(f"note: {editor.STUB} is not written: {error}", err=True)
        return []


def renew_changed(name: str) -> None:
    """Renew the stub of a game whose files were just changed, where it has one."""
    try:
        with _read_anew(name) as game:
            editor.renew(game)
    except (GameError, OSError) as error:
        typer.echo(f"note: {editor.STUB} is not renewed: {error}", err=True)


def renew_checked(name: str) -> bool:
    """Renew the stub of a game as it was checked; False: it has none, or nothing changed."""
    try:
        return editor.renew(games.load(name))
    except OSError as error:
        typer.echo(f"note: {editor.STUB} is not renewed: {error}", err=True)
        return False


@contextmanager
def _read_anew(name: str) -> Iterator[games.Game]:
    """The game as its files are now; its modules are forgotten afterwards and leave no bytecode."""
    _name, _folder, package = games.locate(name)
    games.forget(package)
    before, sys.dont_write_bytecode = sys.dont_write_bytecode, True
    try:
        yield games.load(name)
    finally:
        sys.dont_write_bytecode = before
        games.forget(package)
