"""`inlane measure chances`: what becomes of each shot that a player aims, by a map of shots."""

import json
from pathlib import Path
from typing import Annotated

import typer

from hil import games
from hil.command import season_player, season_timing, shot_file
from simulator.aiming import NOTHING, Stretch, chances

LEAST = 0.01  # of all balls, that a miss is printed for


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command(name="chances")(chances_of)


def chances_of(
    game: Annotated[str, typer.Argument(help="A game, by name or folder.")],
    shot_map: Annotated[Path, typer.Argument(metavar="MAP", help="A file of `inlane measure shots --csv`.")],
    spread: Annotated[
        str, typer.Option(help="Standard deviation of a flip's time about the middle of a shot's window.")
    ] = "12ms",
    as_json: Annotated[bool, typer.Option("--json", help="Print the chances as JSON.")] = False,
) -> int:
    """How often an aimed shot is made at a spread of timing, and what is hit instead.

    Example: inlane measure chances honey_flow shots.csv --spread 12ms

    A shot is aimed at the middle of its widest window of time, from the better flipper; slow balls and balls
    from an inlane, drop targets up and down count alike. Shots are those of the game's routes, `drain` and
    outlanes among the misses; a ball that meets nothing comes back.
    """
    loaded = games.load(game)
    spread_ms = season_timing.spread_of(spread, str(shot_map))
    stretches = shot_file.read(str(shot_map), loaded, season_player.shots_of(loaded))
    found = {shot: chances(stretches, shot, spread_ms) for shot in _aimed(stretches, loaded)}
    if as_json:
        print(json.dumps({shot: _named(row) for shot, row in found.items()}))
    else:
        print("\n".join(_lines(found)))
    return 0


def _aimed(stretches: tuple[Stretch, ...], game: games.Game) -> list[str]:
    """The shots with a window, by name, without those that end a ball."""
    seen = season_player.sight(game)
    return sorted({one.shot for one in stretches if one.is_made} - {NOTHING, *seen.middle, *seen.sides})


def _named(row: dict[str, float]) -> dict[str, float]:
    return {what or "nothing": part for what, part in row.items()}


def _lines(found: dict[str, dict[str, float]]) -> list[str]:
    wide = max((len(shot) for shot in found), default=0)
    lines = [f"{'aimed at':{wide}}    made  instead"]
    for shot, row in sorted(found.items(), key=lambda one: -one[1].get(one[0], 0.0)):
        misses = sorted(_named(row).items(), key=lambda one: -one[1])
        instead = ", ".join(f"{what} {part:.0%}" for what, part in misses if what != shot and part >= LEAST)
        lines.append(f"{shot:{wide}}  {row.get(shot, 0.0):6.1%}  {instead}")
    return lines
