"""`inlane deploy`: put a game on a board."""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from firmware.base.errors import GameError, UsageError
from hil import deploy
from hil.checks import board as board_checks
from hil.games import load

CAUTION = (
    "Caution: start it on the logic supply alone, no coil supply connected; first boards/SAFETY.md, then what"
    " does not work yet in the board's page, then the bring-up steps that 'inlane wiring' writes."
)


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command("deploy")
    def deploy_game(
        game: Annotated[str, typer.Argument(help="A game's name, or its folder.")],
        board: Annotated[str, typer.Option("--board", help="The board's name.")] = "pico_matrix",
        port: Annotated[str, typer.Option("--port", help="Serial port or pyserial URL of the board.")] = "",
        into: Annotated[
            Path | None, typer.Option("--into", help="A new folder to write the board's files to instead.")
        ] = None,
        dry_run: Annotated[
            bool, typer.Option("--dry-run", help="Compile, print sizes, copy nothing.")
        ] = False,
    ) -> int:
        """Bundle a game for a board, copy it there, and compare hashes.

        Example: inlane deploy honey_flow --board pico_matrix --port /dev/ttyACM0
        """
        if not (port or into or dry_run):
            raise UsageError("which board? --port PORT; or --into FOLDER, or --dry-run to only see sizes")
        loaded = load(game)
        refusals = board_checks.before_power(board, loaded)
        if refusals:
            raise GameError("; ".join(refusals), str(loaded.folder))
        with Console(stderr=True).status("making the board's files, some 20 s"):
            made = deploy.files(loaded, board)
        _sizes(made)
        if into and not dry_run:
            deploy.write(made, into)
            print(f"{loaded.name} is in {into}, for the root of a board's file system")
        if port and not dry_run:
            with Console(stderr=True).status(f"copying to {port}"):
                deploy.copy(made, port)
                deploy.verify(made, port)
            print(f"{loaded.name} is on the board at {port}, hashes compared; it starts with the next reset")
        if not dry_run:
            print(CAUTION)
        return 0


def _sizes(made: Mapping[str, bytes]) -> None:
    folders: dict[str, tuple[int, int]] = {}
    for path, content in made.items():
        folder = "/".join(path.split("/")[:4]) if path.count("/") > 3 else path.rpartition("/")[0] or "/"
        count, size = folders.get(folder, (0, 0))
        folders[folder] = (count + 1, size + len(content))
    for folder in sorted(folders):
        print(f"{folders[folder][1]:9,} B in {folders[folder][0]:3} files  {folder}")
    total = sum(len(content) for content in made.values())
    print(f"{total:9,} B in {len(made):3} files; the board has room for {deploy.ROOM:,} B")
    if total > deploy.ROOM:
        raise GameError(f"{total:,} B do not fit into the board's {deploy.ROOM:,} B")
