"""`inlane image`: build the image of a board."""

from pathlib import Path
from typing import Annotated

import typer
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

from firmware.base.errors import GameError
from hil.build import chips, layout, release
from hil.build.chips import Chip
from hil.build.image import build
from hil.build.layout import Image
from hil.checks.board import before_power
from hil.games import Game, load

Sources = Annotated[
    Path | None,
    typer.Option("--sources", help=f"MicroPython {release.RELEASE}'s sources; cloned when not given."),
]
ChipName = Annotated[str, typer.Option("--chip", help="rp2040 for a Pico, rp2350 for a Pico 2 (untried).")]


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command("image")
    def image_of(
        game: Annotated[str, typer.Argument(help="A game's name, or its folder.")],
        board: Annotated[str, typer.Option("--board", help="The board's name.")] = "pico_matrix",
        chip: ChipName = chips.RP2040.name,
        sources: Sources = None,
        out: Annotated[Path | None, typer.Option("--out", help="File to write; GAME.uf2 here.")] = None,
    ) -> int:
        """Build the image of a board: MicroPython, firmware, board code and one game, in one UF2 file.

        Example: inlane image honey_flow --out honey_flow.uf2

        The first takes some minutes, the next ones seconds. Equal sources give an equal file.
        """
        loaded = load(game)
        refused = before_power(board, loaded)
        if refused:
            raise GameError("; ".join(refused), str(loaded.folder))
        made = built(loaded, board, chips.named(chip), sources)
        path = out or Path(f"{loaded.name}.uf2")
        path.write_bytes(layout.to_uf2(made))
        print(f"{path}: {len(made.code):,} B of flash, SHA-256 {made.sum}")
        if made.chip.caution:
            print(made.chip.caution)
        return 0


def built(game: Game, board: str, chip: Chip, sources: Path | None) -> Image:
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

        work = home / "build" / f"{board}-{chip.name}"
        return build(game, board, chip, tree.resolve(), work, progress)
