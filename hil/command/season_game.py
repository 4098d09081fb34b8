"""One game of a season: who plays, on what, judged by what."""

import functools
from collections.abc import Sequence
from typing import NamedTuple

from firmware.base.errors import InlaneError
from hil import games
from hil.bench.evidence import Finding
from hil.bench.names import Names, of_console
from hil.bench.quiet import QuietGame
from hil.bench.rule_judge import Difference, judge_rules
from hil.bench.run_clock import OutOfTime
from hil.bench.season import GameResult, SimulatedGame
from hil.bench.targets.target import MachineStopped
from hil.command import season_odds, season_player, season_timing
from hil.game_tables import setting_rows
from hil.season.run import Block
from simulator.plant import Plant
from simulator.player import mixed_settings, mixed_skill
from simulator.routes import RouteBook

MIXED = "mixed"
MODEL = "model"
ENDLESS = "no end in"
ONLY_IN_FULL = ("digest", "judged")  # what a game without records has not


class Job(NamedTuple):
    """One game of a season. `mixed`: skill and settings are drawn from its seed, and players are rough."""

    game: str
    skill: str
    seed: int
    players: int
    settings: dict[str, int]
    mixed: bool
    judge: str = ""
    """MODEL: the game's independent model of its rules judges each award too."""
    shot_map: str = ""
    """The file of a map of shots; players aim by it."""
    spread_ms: float = 0.0
    """Of their timing; 0: each skill's own."""


def play_one(
    job: Job, odds: Sequence[tuple[str, int]] = (), kind: type[SimulatedGame] = SimulatedGame
) -> GameResult:
    """Play and judge one game; a console that raises is a finding. `odds`: instead of the skill's."""
    match = match_of(job, odds, kind)
    balls = whole_settings(game_of(job.game), match.settings)["balls"]
    try:
        played = match.play(job.players, balls)
    except (MachineStopped, OutOfTime, InlaneError) as error:
        played = GameResult(job.seed, 0, settings=match.settings, ms=match.clock.now)
        endless = f"{ENDLESS} {kind.limit_ms // 60_000} minutes"
        seen = endless if isinstance(error, OutOfTime) else str(error)
        played.findings.append(Finding("the machine keeps running", seen, match.clock.now))
    if job.judge and not played.findings:
        played.findings += [
            Finding(f"{one.feature}: {one.expected}", one.seen, one.ms) for one in differences(match, job)
        ]
    played.skill = _skill(job)
    return played


def play_block(job: Job, every: int, block: Block) -> list[GameResult]:
    """Play a block of the season whose first game is `job`; every so many games one is played in full.

    That one has records, is judged by the standing checks, and counts the same without records.
    """
    numbers = range(block.first, block.first + block.games)
    return [
        _play_in_full(job._replace(seed=job.seed + number), every > 1)
        if number % every == 0
        else play_one(job._replace(seed=job.seed + number), kind=QuietGame)
        for number in numbers
    ]


def _play_in_full(job: Job, compared: bool) -> GameResult:
    played = play_one(job)
    if compared and not played.findings:
        quiet = play_one(job, kind=QuietGame)
        seen = [name for name, value in vars(quiet).items() if value != getattr(played, name)]
        differ = [name for name in seen if name not in ONLY_IN_FULL]
        if differ:
            played.findings.append(Finding("the same game without records", f"other {', '.join(differ)}", 0))
    return played


def match_of(
    job: Job, odds: Sequence[tuple[str, int]] = (), kind: type[SimulatedGame] = SimulatedGame
) -> SimulatedGame:
    """The game of a job, not yet played."""
    game = game_of(job.game)
    names = names_of(job.game)
    plant = Plant(
        book_of(job.game),
        tuple(names.switches),
        tuple(names.coils),
        seed=job.seed,
        varied=True,
        failing=True,
    )
    settings = mixed_settings(setting_rows(game.module), job.seed) if job.mixed else {}
    settings.update(job.settings)
    skill = _skill(job)
    timing = season_timing.timing_of(game, skill, job.shot_map, job.spread_ms) if job.shot_map else None
    hand = season_player.player_of(game, skill, job.seed, job.mixed, odds, timing)
    return kind(game, names, plant, hand, job.seed, settings)


def differences(match: SimulatedGame, job: Job) -> list[Difference]:
    """Where a game that was played differs from its game's independent model."""
    game = game_of(job.game)
    return judge_rules(match.view.history, whole_settings(game, match.settings), game.host("model"))


def whole_settings(game: games.Game, given: dict[str, int]) -> dict[str, int]:
    """Every setting of a game: as given, else its default."""
    return {row.name: given.get(row.name, row.default) for row in setting_rows(game.module)}


def _skill(job: Job) -> str:
    game = game_of(job.game)
    return mixed_skill(season_odds.tables(game), job.seed) if job.mixed else job.skill


@functools.cache
def game_of(game: str) -> games.Game:
    """A game, loaded once."""
    return games.load(game)


@functools.cache
def book_of(game: str) -> RouteBook:
    """The ball routes of a game, read once."""
    names = names_of(game)
    return RouteBook(game_of(game).tables("routes"), tuple(names.switches), tuple(names.coils))


@functools.cache
def names_of(game: str) -> Names:
    """The names of a game, computed once."""
    return of_console(game_of(game).console())
