"""`inlane measure balls`: many seeded balls, and whether any leaves the table or lies still."""

from collections.abc import Iterator
from typing import Annotated

import typer
from rich.progress import track

from firmware.base.errors import UsageError
from hil import games
from hil.bench.outcome import FAIL, PASS
from hil.command.at_desk import DeskSetup
from hil.command.tally import Tally

MINUTE_MS = 60_000
AT_ONCE = 25  # balls on one table; they do not meet each other
NO_PHYSICS = "balls that roll need pymunk: pip install 'inlane[desk]'"


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(balls)


def balls(
    game: Annotated[str, typer.Argument(help="A game, by name or folder.")] = "honey_flow",
    count: Annotated[int, typer.Option(min=1, help="How many balls.")] = 100,
    minutes: Annotated[float, typer.Option(min=0.1, help="For how long each rolls.")] = 3.0,
    seed: Annotated[int, typer.Option(min=1, help="The first ball's seed.")] = 1,
    played: Annotated[
        bool, typer.Option("--played", help="By the rules and a simulated player, one at a time.")
    ] = False,
) -> int:
    """Seeded balls on a game's table: does one leave it, does one lie still for more than 5 s?

    Example: inlane measure balls honey_flow --count 1000

    Without --played no rules run: balls are dropped wherever one can get to, places and speeds drawn by seed,
    bats flip at random, and a ball that drains is dropped again. When one has lain still for 5 s the cabinet
    is nudged, as a player would; it counts when it lies for 5 s more. With --played the game's ball search
    may free a ball: one counts that lies for longer than 40 s. Exit code 1 when a ball left or lay.
    """
    try:
        from hil.command import rolled_runs  # loaded only here: it needs pymunk
    except ModuleNotFoundError as error:
        if error.name != "pymunk":
            raise
        raise UsageError(NO_PHYSICS) from None
    setup = DeskSetup(games.load(game))
    lasts_ms = round(minutes * MINUTE_MS)
    runs: Iterator[Tally] = (
        rolled_runs.played(setup, count, seed, lasts_ms)
        if played
        else rolled_runs.dropped(setup, count, seed, lasts_ms, AT_ONCE)
    )
    parts = count if played else -(-count // AT_ONCE)
    tallies = list(track(runs, "balls", total=parts))
    return _report(tallies, minutes)


def _report(tallies: list[Tally], minutes: float) -> int:
    left = [point for tally in tallies for point in tally.left]
    lodged = [point for tally in tallies for point in tally.lodged]
    count = sum(tally.balls for tally in tallies)
    print(f"{count} balls of {minutes:g} min: {len(left)} left the table, {len(lodged)} lay still too long")
    nudges = sum(tally.nudges for tally in tallies)
    if nudges:
        print(f"{nudges} times one had lain still for 5 s, and the cabinet was nudged")
    print(f"the longest that one lay still: {max(tally.longest_ms for tally in tallies) / 1000:.1f} s")
    for words, points in (("left from", left), ("lay at", lodged)):
        for x, y in points:
            print(f"{words} {x:.0f}, {y:.0f} mm")
    return FAIL if left or lodged else PASS
