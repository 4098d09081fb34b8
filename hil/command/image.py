"""`inlane image`: build the image of a board."""

from pathlib import Path
from typing import Annotated

import typer
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

from hil.build import layout, release
from hil.build.image import build
from hil.build.layout import Image
from hil.games import Game, load

Sources = Annotated[
    Path | None,
    typer.Option("--sources", help=f"MicroPython {release.RELEASE}'s sources; cloned when not given."),
]


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command("image")
    def image_of(
        game: Annotated[str, typer.Argument(help="A game's name, or its folder.")],
        board: Annotated[str, typer.Option("--board", help="The board's name.")] = "pico_matrix",
        sources: Sources = None,
        out: Annotated[Path | None, typer.Option("--out", help="File to write; GAME.uf2 here.")] = None,
    ) -> int:
        """Build the image of a board: MicroPython, firmware, board code and one game, in one UF2 file.

        Example: inlane image honey_flow --out honey_flow.uf2

        The first takes some minutes, the next ones seconds. Equal sources give an equal file.
        """
        loaded = load(game)
        made = built(loaded, board, sources)
        path = out or Path(f"{loaded.name}.uf2")
        path.write_bytes(layout.to_uf2(made))
        print(f"{path}: {len(made.code):,} B of flash, SHA-256 {made.sum}")
        return 0


def built(game: Game, board: str, sources: Path | None) -> Image:
    """Build it, showing how far that is; the sources are cloned once. Raises UsageError, GameError."""
    home = Path(typer.get_app_dir("inlane"))
    tree = sources or home / f"micropython-{release.RELEASE}"
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, transient=True) as shown:
        task = shown.add_task("", total=100)
        if not sources and not tree.is_dir():
            release.check_tools()
            shown.update(task, description=f"cloning MicroPython {release.RELEASE}", total=None)
            release.clone(tree)

        def progress(what: str, done: int) -> None:
            shown.update(task, description=what, completed=done, total=100)

        return build(game, board, tree.resolve(), home / "build" / board, progress)
