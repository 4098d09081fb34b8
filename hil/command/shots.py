"""`inlane measure shots`: where the ball goes from each flipper at every timing, as a table and a picture."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.table import Table

from firmware.base.errors import UsageError
from hil import games
from hil.bench.outcome import FAIL, PASS
from hil.command.at_desk import DeskSetup

if TYPE_CHECKING:
    from hil.command.flights import Flights

PictureOption = Annotated[Path | None, typer.Option(help="Draw the flights over the playfield, as PNG.")]
StepOption = Annotated[int, typer.Option(min=1, max=50, help="Milliseconds between two timings.")]
SlopeOption = Annotated[float, typer.Option(help="The playfield's slope in degrees, 1 to 15.")]
NO_PHYSICS = "the map of shots needs pymunk: pip install 'inlane[desk]'"


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(shots)


def shots(
    game: Annotated[str, typer.Argument(help="A game, by name or folder.")] = "honey_flow",
    step: StepOption = 5,
    slope: SlopeOption = 6.5,
    picture: PictureOption = None,
) -> int:
    """Where the ball goes from each flipper at every timing: shot, angle, window, made or rolled back.

    Example: inlane measure shots honey_flow --picture shots.png

    A ball rolls along a bat, slowly and as from an inlane, and is shot after so many milliseconds. No rules
    run; drop targets are up, then down. Exit code 1 when something with a switch, or a hole, is never met.
    """
    try:
        from hil.command.flights import Flights  # loaded only here: it needs pymunk
    except ModuleNotFoundError as error:
        if error.name != "pymunk":
            raise
        raise UsageError(NO_PHYSICS) from None
    if picture is not None and picture.suffix.lower() != ".png":
        raise UsageError(f"a picture's name ends in .png, not '{picture.name}'")
    flights = Flights(DeskSetup(games.load(game)), step, slope)
    Console().print(_table(flights))
    missing = flights.never_met()
    print(f"{len(flights.flown)} flights; never met: {', '.join(missing) or 'nothing that is aimed at'}")
    if picture is not None:
        flights.draw(picture)
        print(f"picture: {picture}")
    return FAIL if missing else PASS


def _table(flights: "Flights") -> Table:
    table = Table("met first", "result", "flipper", "ball", "drop targets", "from ms", "ms", "angle")
    for down, window in flights.windows():
        targets = "" if down is None else "down" if down else "up"
        timing = (f"{window.first_ms}", f"{window.ms}", f"{window.angle:.0f}°")
        table.add_row(window.name or "nothing", window.result, window.flipper, window.feed, targets, *timing)
    return table
