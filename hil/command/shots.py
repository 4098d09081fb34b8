"""`inlane measure shots`: where the ball goes from each flipper at every timing, as a table and a picture."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import track
from rich.table import Table

from firmware.base.errors import UsageError
from hil import games
from hil.command.at_desk import DeskSetup
from simulator.drawing.drawing import Drawing

PictureOption = Annotated[Path | None, typer.Option(help="Draw the flights over the drawing, as PNG.")]


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(shots)
