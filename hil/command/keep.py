"""`inlane keep`: what a machine keeps through power loss, shown, backed up and restored."""

import difflib
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from boards.unix import file_store
from boards.unix.file_store import FileStore
from firmware.base.errors import UsageError
from firmware.console import Console
from firmware.play.persistence import VERSION
from hil import games
from hil.games import Game

SETTING = "setting."
KINDS = ("fault.", "closures.", "unseen.", "award.", "count.", "score_step.")


def read(path: Path, game: Game, trusting: bool = False) -> dict[str, int]:
    """Read the values in a file. Raises UsageError when it is not a complete save of this game."""
    try:
        text = path.read_text()
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror}") from None
    except UnicodeError:
        raise UsageError(f"{path}: it is not text") from None
    fault, name, values = file_store.parse(text, trusting)
    if fault:
        raise UsageError(f"{path}: {fault}")
    if name != game.name:
        raise UsageError(f"{path}: it belongs to the game '{name}', not to '{game.name}'")
    return values


def check(path: Path, values: dict[str, int], console: Console) -> list[str]:
    """Notes on values that do not fit the game. Raises UsageError for what a machine would refuse."""
    if values.get("version", VERSION) > VERSION:
        raise UsageError(f"{path}: it has version {values['version']}; this firmware reads up to {VERSION}")
    for name, number in values.items():
        if not -(1 << 30) <= number < 1 << 30:
            raise UsageError(f"{path}: {name} is {number}; numbers lie within ±2^30")
    notes: list[str] = []
    for setting in console.settings.all:
        n = values.get(SETTING + setting.name)
        if n is None:
            notes.append(f"setting '{setting.name}' is missing: {setting.default} {setting.unit}")
        elif not setting.least <= n <= setting.most:
            allowed = f"{setting.least} to {setting.most} {setting.unit}"
            raise UsageError(f"{path}: setting '{setting.name}' is {n}; it takes {allowed}")
    return notes + list(_unknown(values, console))


def _unknown(values: dict[str, int], console: Console) -> Iterator[str]:
    known = {SETTING + setting.name for setting in console.settings.all}
    known |= {"value." + value.name for value in console.memory.values}
    known |= {"version", "starts"}
    for name in sorted(values):
        if name not in known and not name.startswith(KINDS):
            near = difflib.get_close_matches(name, known, 1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            yield f"'{name}' is not known to this game and is kept as it is{hint}"


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command()
    def keep(
        game: Annotated[str, typer.Argument(help="A game, by name or folder.")],
        file: Annotated[Path, typer.Argument(help="The machine's file, as of 'inlane play --kept FILE'.")],
        backup: Annotated[Path | None, typer.Option(help="Copy what is kept into this file.")] = None,
        restore: Annotated[Path | None, typer.Option(help="Take what is kept from this file.")] = None,
        edited: Annotated[
            bool, typer.Option("--edited", help="Restore a file that was changed by hand.")
        ] = False,
    ) -> int:
        """Show what a machine keeps through power loss, back it up, restore it.

        Example: inlane keep honey_flow honey.kept --backup friday.kept
        """
        if backup and restore:
            raise UsageError("--backup and --restore exclude each other")
        if edited and not restore:
            raise UsageError("--edited goes with --restore")
        loaded = games.load(game)
        console = loaded.console()
        source = restore or file
        values = read(source, loaded, edited)
        notes = check(source, values, console)
        if restore or backup:
            goal = file if restore else backup
            FileStore(str(goal), loaded.name).save(values.items())
            print(f"{len(values)} values: {source} → {goal}")
        else:
            for name in sorted(values):
                print(f"{name} {values[name]}")
        for note in notes:
            typer.echo(f"note: {note}", err=True)
        return 0
