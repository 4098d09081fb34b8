"""How well the players of a season time their flips, on a map of shots."""

import functools
import math
from typing import Annotated

import typer

from firmware.base.errors import GameError, UsageError
from hil.command import season_odds, season_player, shot_file
from hil.games import Game
from simulator import skill as skills
from simulator.aiming import Timing

MapOption = Annotated[
    str,
    typer.Option(
        "--map",
        help="A map of shots (`inlane measure shots --csv`): what an aimed shot hits is drawn from it, by "
        "the player's spread.",
    ),
]
SpreadOption = Annotated[
    str,
    typer.Option(
        help="With --map: standard deviation of a flip's time, such as 12ms; else each skill's own "
        "(SPREADS in the game's host/season.py)."
    ),
]
LEAST_MS, MOST_MS = 0.1, 500.0


def spread_of(text: str, shot_map: str) -> float:
    """The ms that `--spread` gives, 0 when it is absent. Raises UsageError: no time, or without --map."""
    if not text:
        return 0.0
    if not shot_map:
        raise UsageError("--spread goes with --map, a map of shots from `inlane measure shots --csv`")
    try:
        spread_ms = float(text.removesuffix("ms"))
    except ValueError:
        spread_ms = math.nan
    if not LEAST_MS <= spread_ms <= MOST_MS:
        raise UsageError(f"--spread takes {LEAST_MS:g}ms to {MOST_MS:g}ms, such as 12ms, not '{text}'")
    return spread_ms


def require(game: Game, skill: str, shot_map: str, spread_ms: float) -> None:
    """Raises UsageError, GameError: a wrong map, or a skill without a spread; "": every one of the game's."""
    names = [skill] if skill else [name for name, _ in season_odds.tables(game).SHOT_ODDS]
    for name in names:
        timing_of(game, name, shot_map, spread_ms)


@functools.lru_cache(maxsize=16)
def timing_of(game: Game, skill: str, shot_map: str, spread_ms: float) -> Timing:
    """The timing of players of a skill; `spread_ms` of 0: the skill's own.

    Raises UsageError: a wrong map; GameError: a skill without a spread.
    """
    stretches = shot_file.read(shot_map, game, season_player.shots_of(game))
    return Timing(stretches, spread_ms or _own(game, skill))


def _own(game: Game, skill: str) -> float:
    """The spread of a skill, ms."""
    if skill in skills.NAMES:
        return skills.skill_of(skill).timing
    spreads = season_odds.spreads(season_odds.tables(game))
    if skill not in spreads:
        raise GameError(
            f"the skill '{skill}' has no spread; give --spread, or a row of SPREADS in host/season.py"
        )
    return spreads[skill]
