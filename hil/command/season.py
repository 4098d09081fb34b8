"""`inlane season`: many games by players of a given skill, for tuning rules and finding faults."""

import json
import statistics
import sys
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import track
from rich.table import Table

from firmware.base.errors import UsageError
from hil import games
from hil.bench.evidence import Finding
from hil.bench.season import GameResult
from hil.command import rule_games, season_log, season_odds
from hil.command.season_game import MIXED, Job, play_one
from hil.workers import FEW, map_in_order, workers_here
from simulator.player import odds_of

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
    log: LogOption = None,
    log_seed: LogSeed = None,
    expect: ExpectOption = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Play many games with failing ejects and random shots; judge each by the standing checks.

    Example: inlane season honey_flow --games 200 --skill keen --set ball_save=0

    Example: inlane season honey_flow --games 1 --seed 7 --log game.play --expect awards

    Exit code 0 when every game held, 1 when one did not.
    """
    settings = dict(_setting(text) for text in setting or [])
    loaded = games.load(game)
    rule_games.check_judge(loaded, judge, shrunk)
    season_log.check(log, log_seed, expect, range(seed, seed + count))
    skill = skill or (MIXED if judge else season_odds.REGULAR)
    mixed = skill == MIXED
    if not mixed:
        odds_of(season_odds.tables(loaded), skill)
    loaded.console(settings=settings)
    jobs = [Job(game, skill, seed + i, players, settings, mixed, judge) for i in range(count)]
    played = _play_all(jobs, quiet=as_json)
    _tell(played, skill, as_json)
    if shrunk is not None:
        _write_shrunk(jobs, played, shrunk)
    if log is not None:
        print(season_log.write(season_log.chosen(jobs, played, log_seed), log, expect), file=sys.stderr)
    return 1 if any(one.findings for one in played) else 0


def _tell(played: list[GameResult], skill: str, as_json: bool) -> None:
    if as_json:
        print(json.dumps(asdict(_figures(played))))
    else:
        _show(played, skill)


def _write_shrunk(jobs: list[Job], played: list[GameResult], path: Path) -> None:
    wrong = next((job for job, one in zip(jobs, played, strict=True) if one.findings), None)
    if wrong is not None:
        write = rule_games.write_shrunk if wrong.judge else season_log.write_shrunk
        print(write(wrong, path), file=sys.stderr)


def _play_all(jobs: list[Job], quiet: bool) -> list[GameResult]:
    found: list[GameResult] = []
    results = map_in_order(play_one, jobs, workers_here() if len(jobs) > FEW else 1)
    for one in track(results, "games", total=len(jobs), disable=quiet):
        found.append(one)
        if one.findings and not quiet:
            for finding in one.findings:
                print(f"seed {one.seed} ({one.skill} {one.settings}): {_finding_words(finding)}")
    return found


def _setting(text: str) -> tuple[str, int]:
    name, equals, value = text.partition("=")
    if not equals or not value.lstrip("-").isdigit():
        raise UsageError(f"--set takes NAME=VALUE with a whole number, not '{text}'")
    return name, int(value)


@dataclass(frozen=True)
class Figures:
    """A season in numbers.

    `awards`: by name how often each was paid, and its points. `wrong`: by seed the first finding.
    """

    games: int
    players: int
    findings: int
    minutes_a_player: float
    median: float
    mean: float
    tenth: int
    ninetieth: int
    awards: dict[str, tuple[int, int]]
    wrong: dict[int, str]


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
        wrong={one.seed: _finding_words(one.findings[0]) for one in played if one.findings},
    )


def _finding_words(finding: Finding) -> str:
    return f"expected {finding.expected}, seen {finding.seen}, at {finding.at_ms} ms"


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
