"""`inlane quicken`: the inner modules compiled for this Python, for long seasons."""

from pathlib import Path
from typing import Annotated

import typer

from hil.build.quicken import compile_into
from hil.compiled import VARIABLE


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(quicken)


def quicken(
    folder: Annotated[Path, typer.Argument(help="Where the compiled modules go.")],
) -> int:
    """Compile the firmware's inner modules for this Python; seasons then take half the time.

    Example: inlane quicken ~/.cache/inlane

    It takes minutes, needs a C compiler and mypyc (pip install 'inlane[quick]'). The sources stay what is
    run wherever they have changed since.
    """
    print(
        f"{compile_into(folder.absolute())} files in {folder}; set {VARIABLE}={folder.absolute()} to use them"
    )
    return 0
