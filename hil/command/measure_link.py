"""`inlane measure link`: the link beside a bare port, and scripts a second with one worker and with two."""

import json
import time
from functools import partial
from typing import Annotated

import typer

from hil import games
from hil.benchmarks import round_trip
from hil.command import replay_parts
from hil.command.replay import find_scripts
from hil.games import Game
from hil.workers import map_in_order

ON = ("desk", "micropython")
WORKERS = (1, 2)


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(link)


def link(
    game: Annotated[str, typer.Option(help="Game, by name or folder.")] = "kit_room",
    count: Annotated[int, typer.Option(min=10, help="Exchanges of each kind.")] = 1000,
    rounds: Annotated[int, typer.Option(min=1, help="How often the scripts are played.")] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """The link's round trip beside a bare pyserial echo; scripts a second with one worker and with two.

    Example: inlane measure link --count 2000

    Both lines are pseudo-terminals of this machine, taken by turns; figures are medians. Read the ratios.
    """
    found = games.load(game)
    trips = round_trip.measure(found, count)
    rates = {on: [scripts_a_second(found, on, workers, rounds) for workers in WORKERS] for on in ON}
    if as_json:
        print(json.dumps({"link_us": trips.link, "echo_us": trips.echo, "scripts_a_second": rates}))
        return 0
    print(
        f"link: {trips.link:.0f} µs a round trip, bare echo {trips.echo:.0f} µs:"
        f" {trips.ratio:.2f} times as long ({trips.count} of each)"
    )
    for on, (one, two) in rates.items():
        print(f"{on}: {one:.2f} scripts/s with 1 worker, {two:.2f} with 2: {two / one:.2f} times as many")
    return 0


def scripts_a_second(game: Game, on: str, workers: int, rounds: int) -> float:
    """The game's scripts played through, worker processes' start included. Raises LinkError, UsageError."""
    scripts = [(path, str(game.folder)) for path in find_scripts([str(game.scripts)])] * rounds
    play = partial(replay_parts.play_part, target=on, records_guards=False, wires=())
    began = time.perf_counter()
    done = sum(
        len(played.outcomes) for played in map_in_order(play, replay_parts.split(scripts, workers), workers)
    )
    return done / (time.perf_counter() - began)
