"""`inlane wiring`: work sheets for a game's wiring, or a look at an existing harness."""

from pathlib import Path
from typing import Annotated, cast

import typer

from firmware.base.errors import GameError, UsageError
from hil import games
from hil.checks import coils
from hil.checks.coils import refusals
from hil.electrical import windings
from hil.electrical.harness import reading
from hil.electrical.sums.drive import Drive
from hil.electrical.sums.on_time import Stage
from hil.electrical.worksheets import connections, picture, tables
from hil.electrical.worksheets.bring_up import STEPS, script
from hil.game_tables import WiringTables, setting_rows
from hil.machine.editing import made_of
from hil.machine.from_harness.sheet import sheet
from hil.machine.from_harness.text import machine
from hil.machine.tables import MachineTables

BOARDS = ("pico_matrix",)
REFUSED_EXIT = 1


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command()
    def wiring(
        game: Annotated[str, typer.Argument(help="A game's name or folder; left out with --harness.")] = "",
        board: Annotated[str, typer.Option(help=f"The board: {', '.join(BOARDS)}.")] = BOARDS[0],
        out: Annotated[Path, typer.Option(help="Folder for the sheets.")] = Path("wiring_sheets"),
        harness: Annotated[
            Path | None, typer.Option(help="A CSV of an existing harness: its sheets and machine file.")
        ] = None,
    ) -> int:
        """Write tables, drawings, measuring lists and bring-up scripts for a game's wiring.

        Example: inlane wiring honey_flow --board pico_matrix --out sheets

        With --harness, read what an existing machine has, name what does not fit in one sentence each, and
        write its machine file and the sheets, old wires beside ours. Exit code 0 done, 1 something is refused
        (where it is only that a coil may not be energised, the sheets are written and say so), 2 the input
        is wrong.
        """
        if board not in BOARDS:
            raise UsageError(f"there is no board '{board}'; there is {', '.join(BOARDS)}")
        if harness:
            return _from_harness(harness, out)
        if not game:
            raise UsageError("name a game, or give --harness a CSV file")
        return _sheets(game, board, out)


def _sheets(name: str, board: str, folder: Path) -> int:
    game = games.load(name)
    refused = refusals(game)
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
    cues = game.console().cue_names
    return {
        "wiring.md": tables.sheet(game.name, board, found, _optos(game), refused, _stages(game), cues),
        **_drawn(game.name, found),
        **{step.script: script(step, game.wiring, setting_rows(game.module)) for step in STEPS},
    }


def _drawn(name: str, found: connections.Connections) -> dict[str, str]:
    """The matrices and connectors as SVG, by file."""
    return {
        "switches.svg": picture.matrix(
            f"{name}: switch matrix",
            found.switches,
            "Each crossing: row wire – switch – diode – column wire; the diode's band towards the column.",
        ),
        "lamps.svg": picture.matrix(
            f"{name}: lamp matrix",
            found.lamps,
            "Each crossing: column wire – resistor – LED – row wire; the LED's anode towards the column.",
        ),
        "connectors.svg": picture.connectors(found),
    }


def _stages(game: games.Game) -> dict[str, Stage | None]:
    """The on-time stages of a game's coils; none where its windings cannot be read, which is refused."""
    try:
        return coils.stages(game)
    except (GameError, UsageError):
        return {}


def _optos(game: games.Game) -> list[tuple[str, str]]:
    """The opto switches of a game with their supplies; they are known from its machine file."""
    if not game.has_tables("routes"):
        return []
    return list(getattr(game.tables("routes"), "OPTOS", ()))


def _from_harness(path: Path, folder: Path) -> int:
    """The machine file, and the sheets of the machine that it gives. Exit code 1 when anything is refused."""
    items = reading.read(path)
    text, findings, made = machine(items, path.stem.replace("_", " ").capitalize())
    for finding in findings:
        typer.echo(str(finding), err=finding.refused)
    if made is None:
        typer.echo("nothing is written while what does not fit is refused", err=True)
        return REFUSED_EXIT
    tables_made, errors = made_of(text, "machine.py")
    if tables_made is None:
        raise errors[0]
    _save(folder / "machine.py", text)
    coils = tables_made.wiring.COILS
    stages = windings.stages(coils, _declared(tables_made))
    _save(folder / "old_to_new.md", sheet(path.stem, items, made, coils, findings, stages))
    refused = [finding.text for finding in findings if finding.refused]
    wired = cast(WiringTables, tables_made.wiring)  # a frozen class has no setters, which nobody needs
    connected = connections.of_wiring(wired)
    for name, content in _drawn(path.stem, connected).items():
        _save(folder / name, content)
    _save(folder / "wiring.md", tables.sheet(path.stem, BOARDS[0], connected, refused=refused, stages=stages))
    if refused:
        typer.echo("the sheets say so at their top: these coils stay off until that is mended", err=True)
    return REFUSED_EXIT if refused else 0


def _declared(made: MachineTables) -> list[Drive]:
    """The coils of a machine file whose windings are given. Raises GameError, UsageError."""
    if not made.host.SUPPLY:
        return []
    strong = {row.hold: row.longest_ms for row in made.wiring.FLIPPERS}
    rows = map(windings.winding_of_row, made.host.COILS)
    return windings.drives(windings.feed_of_row(made.host.SUPPLY), rows, made.wiring.COILS, strong)


def _save(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(str(error.strerror), str(path)) from None
    print(path)
