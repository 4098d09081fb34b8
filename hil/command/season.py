"""`inlane season`: many games by players of a given skill, for tuning rules and finding faults."""

import functools
import json
import statistics
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Annotated, NamedTuple

import typer
from rich.console import Console
from rich.progress import track
from rich.table import Table

from firmware.base.errors import InlaneError, UsageError
from hil import games
from hil.bench.judge import Finding
from hil.bench.names import Names, of_console
from hil.bench.run_clock import OutOfTime
from hil.bench.season import GameResult, SimulatedGame
from hil.bench.targets.target import MachineStopped
from hil.game_tables import setting_rows
from hil.workers import FEW, map_in_order, workers_here
from simulator.plant import Plant
from simulator.player import SimulatedPlayer, mixed_settings, mixed_skill, odds_of

MIXED = "mixed"


class Job(NamedTuple):
    """One game of a season. `mixed`: skill and settings are drawn from its seed, and players are rough."""

    game: str
    skill: str
    seed: int
    players: int
    settings: dict[str, int]
    mixed: bool


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(season)


def season(
    game: Annotated[str, typer.Argument(help="Game, by name or folder.")] = "honey_flow",
    count: Annotated[int, typer.Option("--games", help="How many games.")] = 100,
    seed: Annotated[int, typer.Option(help="Seed of the first game; each has the next.")] = 1,
    skill: Annotated[
        str,
        typer.Option(
            help="Skill of the players (see the game's host/season.py); 'mixed': skills and settings are "
            "drawn for each game, and players shake the machine."
        ),
    ] = "regular",
    players: Annotated[int, typer.Option(help="At most so many players a game.")] = 4,
    setting: Annotated[list[str] | None, typer.Option("--set", help="A setting: NAME=VALUE.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Play many games with failing ejects and random shots; judge each by the standing checks.

    Example: inlane season honey_flow --games 200 --skill keen --set ball_save=0

    Exit code 0 when every game held, 1 when one did not.
    """
    settings = dict(_setting(text) for text in setting or [])
    loaded = games.load(game)
    mixed = skill == MIXED
    if not mixed:
        odds_of(loaded.host("season"), skill)
    loaded.console(settings=settings)
    jobs = [Job(game, skill, seed + i, players, settings, mixed) for i in range(count)]
    played = _play_all(jobs, quiet=as_json)
    if as_json:
        print(json.dumps(asdict(_figures(played))))
    else:
        _show(played, skill)
    return 1 if any(one.findings for one in played) else 0


def play_one(
    job: Job, odds: Sequence[tuple[str, int]] = (), kind: type[SimulatedGame] = SimulatedGame
) -> GameResult:
    """Play and judge one game; a console that raises is a finding. `odds`: instead of the skill's."""
    game = games.load(job.game)
    names = names_of(job.game)
    plant = Plant(
        game.tables("routes"),
        tuple(names.switches),
        tuple(names.coils),
        seed=job.seed,
        varied=True,
        failing=True,
    )
    season = game.host("season")
    skill = mixed_skill(season, job.seed) if job.mixed else job.skill
    settings = mixed_settings(setting_rows(game.module), job.seed) if job.mixed else {}
    settings.update(job.settings)
    hand = SimulatedPlayer(odds or odds_of(season, skill), job.seed, rough=job.mixed)
    usual = next(row.default for row in setting_rows(game.module) if row.name == "balls")
    balls = settings.get("balls", usual)
    match = kind(game, names, plant, hand, job.seed, settings)
    try:
        played = match.play(job.players, balls)
    except (MachineStopped, OutOfTime, InlaneError) as error:
        played = GameResult(job.seed, 0, settings=settings, ms=match.clock.now)
        seen = "no end in four hours" if isinstance(error, OutOfTime) else str(error)
        played.findings.append(Finding("the machine keeps running", seen, match.clock.now))
    played.skill = skill
    return played


@functools.cache
def names_of(game: str) -> Names:
    """The names of a game, computed once."""
    return of_console(games.load(game).console())


def _play_all(jobs: list[Job], quiet: bool) -> list[GameResult]:
    found: list[GameResult] = []
    results = map_in_order(play_one, jobs, workers_here() if len(jobs) > FEW else 1)
    for one in track(results, "games", total=len(jobs), disable=quiet):
        found.append(one)
        if one.findings and not quiet:
            for finding in one.findings:
                print(
                    f"seed {one.seed} ({one.skill} {one.settings}): expected {finding.expected}, "
                    f"seen {finding.seen}, at {finding.at_ms} ms"
                )
    return found


def _setting(text: str) -> tuple[str, int]:
    name, equals, value = text.partition("=")
    if not equals or not value.lstrip("-").isdigit():
        raise UsageError(f"--set takes NAME=VALUE with a whole number, not '{text}'")
    return name, int(value)


@dataclass(frozen=True)
class Figures:
    """A season in numbers; `awards` gives by name how often each was paid and the points it brought."""

    games: int
    players: int
    findings: int
    minutes_a_player: float
    median: float
    mean: float
    tenth: int
    ninetieth: int
    awards: dict[str, tuple[int, int]]


def _figures(played: list[GameResult]) -> Figures:
    scores = sorted(score for one in played for score in one.scores)
    seats = sum(one.players for one in played) or 1
    awards: dict[str, tuple[int, int]] = {}
    for one in played:
        for name, more in one.awards.items():
            times, points = awards.get(name, (0, 0))
            awards[name] = times + more, points + one.points[name]
    return Figures(
        games=len(played),
        players=seats,
        findings=sum(len(one.findings) for one in played),
        minutes_a_player=sum(one.ms for one in played) / 60_000 / seats,
        median=statistics.median(scores) if scores else 0,
        mean=statistics.fmean(scores) if scores else 0,
        tenth=scores[len(scores) // 10] if scores else 0,
        ninetieth=scores[len(scores) * 9 // 10] if scores else 0,
        awards=awards,
    )


def _show(played: list[GameResult], skill: str) -> None:
    figures = _figures(played)
    seats = figures.players
    total = sum(points for _, points in figures.awards.values()) or 1
    table = Table(title=f"{figures.games} games, {seats} players, skill {skill}")
    for heading in ("award", "times a player", "points a player", "share"):
        table.add_column(heading, justify="left" if heading == "award" else "right")
    by_points = sorted(figures.awards, key=lambda name: -figures.awards[name][1])
    for name in by_points:
        times, points = figures.awards[name]
        table.add_row(name, f"{times / seats:.2f}", f"{points / seats:,.0f}", f"{points / total:.1%}")
    console = Console()
    console.print(table)
    console.print(
        f"score: median {figures.median:,.0f}, mean {figures.mean:,.0f}, "
        f"tenth {figures.tenth:,.0f}, ninetieth {figures.ninetieth:,.0f}; "
        f"{figures.minutes_a_player:.1f} minutes a player; {figures.findings} findings"
    )
