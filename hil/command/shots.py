"""`inlane measure shots`: where the ball goes from each flipper at every timing, as a table and a picture."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.bench.outcome import FAIL, PASS
from hil.command import shot_file
from hil.command.at_desk import DeskSetup
from simulator.table.materials import LEAST_SLOPE, MOST_SLOPE, SLOPE

if TYPE_CHECKING:
    from hil.command.flights import Flights
    from simulator.table.shot_map import Window

PictureOption = Annotated[Path | None, typer.Option(help="Draw the flights over the playfield, as PNG.")]
CsvOption = Annotated[
    Path | None,
    typer.Option("--csv", help="Write the map, for `inlane season --map` and `inlane measure chances`."),
]
StepOption = Annotated[int, typer.Option(min=1, max=50, help="Milliseconds between two timings.")]
SlopeOption = Annotated[
    float, typer.Option(min=LEAST_SLOPE, max=MOST_SLOPE, help="The playfield's slope in degrees.")
]
NO_PHYSICS = "the map of shots needs pymunk: pip install 'inlane[desk]'"


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(shots)


def shots(
    game: Annotated[str, typer.Argument(help="A game, by name or folder.")] = "honey_flow",
    step: StepOption = 5,
    slope: SlopeOption = SLOPE,
    picture: PictureOption = None,
    table: CsvOption = None,
    every: Annotated[bool, typer.Option("--all", help="Print every window of time by itself.")] = False,
) -> int:
    """Where the ball goes from each flipper at every timing: shot, angle, window, made or rolled back.

    Example: inlane measure shots honey_flow --picture shots.png --csv shots.csv

    A ball rolls along a bat, slowly and as from an inlane, and is shot after so many milliseconds. No rules
    run; drop targets are up, then down. A line says what is met first, how many windows of time lead there,
    and of the widest length, start and angle (from straight ahead, to the right positive). Exit code 1 when
    something with a switch, or a hole, is never met.
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
    print("\n".join(_lines(flights, every)))
    missing = flights.never_met()
    print(f"{len(flights.flown)} flights; never met: {', '.join(missing) or 'nothing that is aimed at'}")
    if table is not None:
        shot_file.write(flights.rows(), table)
        print(f"map: {table}")
    if picture is not None:
        flights.draw(picture)
        print(f"picture: {picture}")
    return FAIL if missing else PASS


def _lines(flights: "Flights", every: bool) -> list[str]:
    """The windows as lines; all of them, or those with one end together."""
    rows: list[tuple[str, ...]] = [
        ("met first", "result", "from", "ball", "drops", "windows", "widest", "at", "angle")
    ]
    groups: dict[tuple[object, ...], list[Window]] = {}
    for number, (down, window) in enumerate(flights.windows()):
        what = (window.name or "nothing", window.result, window.flipper, window.feed)
        groups.setdefault((*what, shot_file.DROPS[down], number if every else 0), []).append(window)
    for (*words, _), found in groups.items():
        widest = max(found, key=lambda window: window.ms)
        times = (f"{widest.ms} ms", f"{widest.first_ms} ms", f"{widest.angle:.0f}°")
        rows.append((*(str(word) for word in words), str(len(found)), *times))
    wide = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    return ["  ".join(word.ljust(size) for word, size in zip(row, wide, strict=True)) for row in rows]
