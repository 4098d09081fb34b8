"""`inlane machine`: makes a game's tables from its machine file, or the machine file from its tables."""

from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import GameError, UsageError
from hil import games
from hil.bench.outcome import FAIL, PASS, USAGE
from hil.checks.build import shown
from hil.electrical.harness import reading
from hil.machine import writing
from hil.machine.editing import made_of
from hil.machine.expanding import FILE, expand
from hil.machine.from_harness.text import text as from_harness
from hil.machine.from_tables import by_hand
from hil.machine.from_tables.moving import move
from hil.machine.tables import MachineTables


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(machine)


def machine(
    game: Annotated[str, typer.Argument(help="A game's name, or its folder.")],
    from_tables: Annotated[
        bool,
        typer.Option("--from-tables", help="Write host/machine.py from the tables, if it gives them all."),
    ] = False,
    harness: Annotated[
        Path | None,
        typer.Option(help="A CSV of an old machine's harness: write host/machine.py from it."),
    ] = None,
) -> int:
    """Make wiring.py and host/tables.py of a game from its host/machine.py.

    Example: inlane machine ./my_game

    With --from-tables, group the tables that were written by hand, write host/machine.py, and leave by hand
    what is irregular; nothing is written unless every table comes out the same.

    With --harness, write host/machine.py of the folder from what an old machine has: what things are is read
    from their names, and every decision is told in a sentence. Nothing is written while something is refused.

    Exit code 0 written, 1 a table would differ, 2 the machine file is wrong: every complaint with its line.
    """
    if harness:
        return _from_harness(Path(game), harness)
    _name, folder, _package = games.locate(game)
    if from_tables:
        return _from_tables(game, folder)
    made = read(folder)
    if made is None:
        return USAGE
    save(folder, writing.files(made))
    return PASS


def _from_harness(folder: Path, harness: Path) -> int:
    if (folder / FILE).is_file():
        raise UsageError(f"there is a {FILE} already; nothing was changed", shown(folder))
    text, findings = from_harness(reading.read(harness), folder.resolve().name.replace("_", " ").capitalize())
    for finding in findings:
        typer.echo(str(finding), err=finding.refused)
    if not text:
        typer.echo("nothing is written while something is refused", err=True)
        return FAIL
    made, errors = made_of(text, FILE)
    for error in errors:
        typer.echo(str(error), err=True)
    if made is None:
        return USAGE
    (folder / "host").mkdir(parents=True, exist_ok=True)
    save(folder, {FILE: text, **writing.files(made)})
    return FAIL if any(finding.refused for finding in findings) else PASS


def read(folder: Path) -> MachineTables | None:
    """The tables of a game's machine file; None: every complaint was printed. Raises UsageError: no file."""
    path = folder / FILE
    if not path.is_file():
        raise UsageError(
            f"there is no {FILE}; --from-tables writes one from the game's tables", shown(folder)
        )
    made, errors = expand(path, f"{shown(folder)}/{FILE}")
    for error in errors:
        typer.echo(str(error), err=True)
    return made


def save(folder: Path, files: dict[str, str]) -> None:
    """Write the files that differ from what is there, remove those that are to be empty; print each.

    Raises GameError when a file cannot be written.
    """
    for name, text in files.items():
        path = folder / name
        before = path.read_text(encoding="utf-8") if path.is_file() else ""
        print(f"{shown(path)}: {_change(before, text)}")
        try:
            if text:
                path.write_text(text, encoding="utf-8")
            else:
                path.unlink(missing_ok=True)
        except OSError as error:
            raise GameError(str(error.strerror), shown(path)) from None


def _change(before: str, text: str) -> str:
    if before == text:
        return "as it was"
    if not text:
        return "removed, nothing of it is irregular"
    lines = len(text.splitlines())
    return f"{lines} lines, {len(before.splitlines())} before" if before else f"{lines} lines"


def _from_tables(name: str, folder: Path) -> int:
    if (folder / FILE).is_file():
        raise UsageError(f"there is a {FILE} already; nothing was changed", shown(folder))
    game = games.load(name)
    moved = move(game)
    for difference in moved.differences:
        typer.echo(difference, err=True)
    if moved.differences:
        typer.echo("nothing was changed", err=True)
        return FAIL
    save(folder, {FILE: moved.text, **writing.files(moved.made), **by_hand.files(game, moved.made.host)})
    return PASS
