"""Who plays a game of a season: a player who draws from the game's odds, or one who sees what is lit."""

import functools
from collections.abc import Sequence

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean
from hil.bench.season import ShotChooser
from hil.command import drawn, season_odds
from hil.game_tables import coil_rows, lamp_rows, switch_rows
from hil.games import Game
from simulator import skill as skills
from simulator.aiming import Timing
from simulator.player import SimulatedPlayer, odds_of
from simulator.routes import RouteBook
from simulator.seeing_player import SeeingPlayer
from simulator.sight import Aim, Sight, sight_of


def player_of(
    game: Game,
    skill: str,
    seed: int,
    rough: bool = False,
    odds: Sequence[tuple[str, int]] = (),
    timing: Timing | None = None,
) -> ShotChooser:
    """The player of a game; `odds` in place of the skill's, `timing`: shots by a map.

    Raises GameError: there is no such skill.
    """
    if not odds and skill in skills.NAMES:
        return SeeingPlayer(skills.skill_of(skill), sight(game), seed, timing)
    given = odds or odds_of(season_odds.tables(game), skill)
    if timing:
        seen = sight(game)
        given = timing.missed(given, (*seen.middle, *seen.sides))
    return SimulatedPlayer(given, seed, rough=rough)


def require(game: Game, skill: str) -> None:
    """Raises GameError when no player of the game has this skill."""
    known = [*skills.NAMES, *(name for name, _ in season_odds.tables(game).SHOT_ODDS)]
    if skill not in known:
        near = did_you_mean(skill, known) or f"; there are {', '.join(known)}"
        raise GameError(f"there is no skill '{skill}'{near}")


@functools.lru_cache(maxsize=4)
def sight(game: Game) -> Sight:
    """What a player of this game sees. Raises GameError: wrong routes, drawing or AIMS."""
    wiring = game.wiring
    switches = [row.name for row in switch_rows(wiring)]
    book = RouteBook(game.tables("routes"), switches, [row.name for row in coil_rows(wiring)])
    drawing = drawn.drawing(game)
    lamps = [row.name for row in lamp_rows(wiring)]
    odds = dict(season_odds.tables(game).SHOT_ODDS).get(season_odds.REGULAR, ())
    return sight_of(book, drawing.points, drawing.aim, lamps, aims_of(game), odds)


def shots_of(game: Game) -> tuple[str, ...]:
    """The shots from the playfield. Raises GameError: wrong routes."""
    return tuple(season_odds.playfield_shots(game))


def aims_of(game: Game) -> list[Aim]:
    """The game's AIMS. Raises GameError: a lamp that it has not."""
    lamps = [row.name for row in lamp_rows(game.wiring)]
    given = [Aim(*row) for row in getattr(season_odds.tables(game), "AIMS", ())]
    unknown = next((aim.lamp for aim in given if aim.lamp not in lamps), "")
    if unknown:
        raise GameError(f"AIMS has the lamp '{unknown}', which is not there{did_you_mean(unknown, lamps)}")
    return given
