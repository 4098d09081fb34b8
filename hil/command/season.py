"""`inlane season`: many games by players of a given skill, for tuning rules and finding faults."""

import json
import sys
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from firmware.base.errors import UsageError
from hil import games
from hil.command import rule_games, season_log, season_odds, season_player, season_run, season_timing
from hil.command.season_game import MIXED, Job
from hil.season.aggregate import Aggregate
from hil.season.run import Run
from hil.season.spread import Spread

FULL_EVERY = 50
INTERRUPTED = 130  # exit code
JudgeOption = Annotated[
    str,
    typer.Option(
        help="'model': the game's host/model.py, its rules in plain Python, judges each award and who "
        "plays next; players have mixed skills unless --skill is given."
    ),
]
SkillOption = Annotated[
    str,
    typer.Option(
        help="Skill of the players (see the game's host/season.py); 'mixed': skills and settings are "
        "drawn for each game, and players shake the machine."
    ),
]
ShrunkOption = Annotated[
    Path | None,
    typer.Option(help="Where the first game with a finding is written, as its shortest script."),
]


LogOption = Annotated[
    Path | None,
    typer.Option(help="Write a game as a script: the first one with a finding, else the first one."),
]
LogSeed = Annotated[int | None, typer.Option(help="With --log: write the game of this seed instead.")]
ExpectOption = Annotated[
    str, typer.Option("--expect", help="With --log: propose expectations: score, awards, lamps, everything.")
]
WorkersOption = Annotated[
    int, typer.Option("--workers", min=0, help="How many processes play; 0: one for each core.")
]
BackendOption = Annotated[
    str, typer.Option("--backend", help="One of joblib's backends, such as dask or ray, for a cluster.")
]
FullOption = Annotated[
    int,
    typer.Option(
        "--full-every",
        min=0,
        help="One game of so many is played with records and judged, the others are counted only. "
        f"0: {FULL_EVERY}, and every game when skills are mixed or --judge is given.",
    ),
]
ResumeOption = Annotated[
    Path | None,
    typer.Option("--resume", help="File that keeps what is done; the season goes on from what it has."),
]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(season)


def season(
    game: Annotated[str, typer.Argument(help="Game, by name or folder.")] = "honey_flow",
    count: Annotated[int, typer.Option("--games", min=1, help="How many games.")] = 100,
    seed: Annotated[int, typer.Option(help="Seed of the first game; each has the next.")] = 1,
    skill: SkillOption = "",
    players: Annotated[int, typer.Option(min=1, max=4, help="At most so many players a game.")] = 4,
    setting: Annotated[list[str] | None, typer.Option("--set", help="A setting: NAME=VALUE.")] = None,
    judge: JudgeOption = "",
    shrunk: ShrunkOption = None,
    workers: WorkersOption = 0,
    backend: BackendOption = "",
    full_every: FullOption = 0,
    resume: ResumeOption = None,
    log: LogOption = None,
    log_seed: LogSeed = None,
    expect: ExpectOption = "",
    shot_map: season_timing.MapOption = "",
    spread: season_timing.SpreadOption = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Play many games with failing ejects and random shots; judge some of them by the standing checks.

    Ctrl-C ends it after the games under way; what is done is shown, and with --resume goes on next time.

    Example: inlane season honey_flow --games 200 --skill keen --set ball_save=0

    Example: inlane season honey_flow --games 1 --seed 7 --log game.play --expect awards

    Example: inlane season honey_flow --games 200 --skill keen --map shots.csv --spread 12ms

    Exit code 0 when every game held, 1 when one did not, 130 after Ctrl-C.
    """
    settings = dict(_setting(text) for text in setting or [])
    rule_games.check_judge(games.load(game), judge, shrunk)
    season_log.check(log, log_seed, expect, range(seed, seed + count))
    spread_ms = season_timing.spread_of(spread, shot_map)
    job = _first_job(Job(game, skill, seed, players, settings, False, judge, shot_map, spread_ms))
    every = full_every or (1 if job.mixed or judge else FULL_EVERY)
    run = Run(season_run.workers_for(count, workers), backend, resume)
    aggregate, interrupted = season_run.play(job, count, every, run, quiet=as_json)
    if as_json:
        print(json.dumps(asdict(_figures(aggregate))))
    else:
        _show(aggregate, job.skill)
    wrong = min(aggregate.wrong, default=None)
    if shrunk is not None and wrong is not None:
        _write_shrunk(job._replace(seed=wrong), shrunk)
    if log is not None:
        chosen = next(one for one in (log_seed, wrong, seed) if one is not None)
        print(season_log.write(job._replace(seed=chosen), log, expect), file=sys.stderr)
    return INTERRUPTED if interrupted else int(aggregate.findings > 0)


def _first_job(asked: Job) -> Job:
    """The season's first game, with its skill. Raises GameError and UsageError for what cannot be played."""
    loaded = games.load(asked.game)
    skill = asked.skill or (MIXED if asked.judge else season_odds.REGULAR)
    if skill != MIXED:
        season_player.require(loaded, skill)
    loaded.console(settings=asked.settings)
    if asked.shot_map:
        season_timing.require(loaded, "" if skill == MIXED else skill, asked.shot_map, asked.spread_ms)
    return asked._replace(skill=skill, mixed=skill == MIXED)


def _write_shrunk(job: Job, path: Path) -> None:
    write = rule_games.write_shrunk if job.judge else season_log.write_shrunk
    print(write(job, path), file=sys.stderr)


def _setting(text: str) -> tuple[str, int]:
    name, equals, value = text.partition("=")
    if not equals or not value.lstrip("-").isdigit():
        raise UsageError(f"--set takes NAME=VALUE with a whole number, not '{text}'")
    return name, int(value)


@dataclass(frozen=True)
class Figures:
    """A season in numbers.

    `awards`: by name how often each was paid, and its points. `wrong`: by seed the first finding. Median,
    tenth and ninetieth are those of a histogram whose bins are 0.8 % wide.
    """

    games: int
    judged: int
    players: int
    findings: int
    minutes_a_player: float
    median: float
    mean: float
    tenth: int
    ninetieth: int
    awards: dict[str, tuple[int, int]]
    wrong: dict[int, str]


def _figures(aggregate: Aggregate) -> Figures:
    total, scores = aggregate.total(), aggregate.spreads.get("score", Spread())
    paid, points = total.counts.get("awards", {}), total.counts.get("points", {})
    return Figures(
        games=total.games,
        judged=total.judged,
        players=total.players or 1,
        findings=aggregate.findings,
        minutes_a_player=total.ms / 60_000 / (total.players or 1),
        median=scores.quantile(0.5),
        mean=scores.mean(),
        tenth=scores.quantile(0.1),
        ninetieth=scores.quantile(0.9),
        awards={name: (times, points.get(name, 0)) for name, times in paid.items()},
        wrong=aggregate.wrong,
    )


def _show(aggregate: Aggregate, skill: str) -> None:
    figures = _figures(aggregate)
    seats = figures.players
    total = sum(points for _, points in figures.awards.values()) or 1
    table = Table(title=f"{figures.games} games ({figures.judged} judged), {seats} players, skill {skill}")
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
