"""`inlane wiring`: work sheets for a game's wiring, or a look at an existing harness."""

from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.checks.coil_tables import has_windings
from hil.checks.coils import refusals
from hil.electrical.harness import convert, reading
from hil.electrical.worksheets import connections, picture, tables
from hil.electrical.worksheets.bring_up import STEPS, script
from hil.game_tables import setting_rows

BOARDS = ("pico_matrix",)
REFUSED_EXIT = 1


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command()
    def wiring(
        game: Annotated[str, typer.Argument(help="A game's name or folder; left out with --harness.")] = "",
        board: Annotated[str, typer.Option(help=f"The board: {', '.join(BOARDS)}.")] = BOARDS[0],
        out: Annotated[
            Path, typer.Option(help="Folder for the sheets, or file for a harness's table.")
        ] = Path("wiring_sheets"),
        harness: Annotated[
            Path | None, typer.Option(help="A CSV of an existing harness: make a wiring table of it.")
        ] = None,
    ) -> int:
        """Write tables, drawings, measuring lists and bring-up scripts for a game's wiring.

        Example: inlane wiring honey_flow --board pico_matrix --out sheets

        With --harness, read what an existing machine has and write our wiring table; what does not fit is
        named in one sentence each. Exit code 0 done, 1 something is refused (a game's sheets are written
        all the same and say so), 2 the input is wrong.
        """
        if board not in BOARDS:
            raise UsageError(f"there is no board '{board}'; there is {', '.join(BOARDS)}")
        if harness:
            return _convert(harness, out)
        if not game:
            raise UsageError("name a game, or give --harness a CSV file")
        return _sheets(game, board, out)


def _sheets(name: str, board: str, folder: Path) -> int:
    game = games.load(name)
    refused = refusals(game) if has_windings(game) else []
    for file, text in sheets(game, board, refused).items():
        _save(folder / file, text)
    for sentence in refused:
        typer.echo(f"refused: {sentence}", err=True)
    if refused:
        typer.echo("the sheets say so at their top: the coils are not to be powered as they are", err=True)
    return REFUSED_EXIT if refused else 0


def sheets(game: games.Game, board: str, refused: list[str]) -> dict[str, str]:
    """Every sheet by its file's name, with what is `refused` at the top. Raises UsageError: no room."""
    found = connections.of_wiring(game.wiring)
    return {
        "wiring.md": tables.sheet(game.name, board, found, _optos(game), refused),
        "switches.svg": picture.matrix(
            f"{game.name}: switch matrix",
            found.switches,
            "Each crossing: row wire – switch – diode – column wire; the diode's band towards the column.",
        ),
        "lamps.svg": picture.matrix(
            f"{game.name}: lamp matrix",
            found.lamps,
            "Each crossing: column wire – resistor – LED – row wire; the LED's anode towards the column.",
        ),
        "connectors.svg": picture.connectors(found),
        **{step.script: script(step, game.wiring, setting_rows(game.module)) for step in STEPS},
    }


def _optos(game: games.Game) -> list[tuple[str, str]]:
    """The opto switches of a game with their supplies; they are known from its machine file."""
    if not game.has_tables("routes"):
        return []
    return list(getattr(game.tables("routes"), "OPTOS", ()))


def _convert(path: Path, out: Path) -> int:
    items = reading.read(path)
    table, findings = convert.convert(items)
    for finding in findings:
        typer.echo(str(finding), err=finding.refused)
    if any(finding.refused for finding in findings):
        typer.echo("no wiring table is written while something is refused", err=True)
        return REFUSED_EXIT
    target = out if out.suffix == ".py" else out.with_suffix(".py")
    _save(target, table)
    return 0


def _save(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(str(error.strerror), str(path)) from None
    print(path)
