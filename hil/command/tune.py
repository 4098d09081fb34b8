"""`inlane tune`: questions of whoever tunes the rules, answered with intervals and pictures."""

import json
import sys
from pathlib import Path
from typing import Annotated, NamedTuple

import typer
from rich.console import Console

from firmware.base.errors import UsageError
from hil import games
from hil.command import season_player, season_run, season_timing, tuning_aim, tuning_questions
from hil.command.season import INTERRUPTED, BackendOption, WorkersOption
from hil.command.tuning_games import NEVER, Games, Interrupted, Plan, Player
from hil.season import answer, page, report
from hil.season.answer import Answer
from hil.season.kept import Kept
from hil.season.run import Stop
from simulator import skill as skills

EVERY = "all"

GameArgument = Annotated[str, typer.Argument(help="Game, by name or folder.")]
SkillOption = Annotated[
    str,
    typer.Option(
        help=f"Who plays: {', '.join(skills.NAMES)} look at the lamps; a skill of the game's host/season.py "
        f"draws its shots; '{EVERY}' plays the games with each who looks."
    ),
]
SweepOption = Annotated[
    str, typer.Option(help="NAME=LOW..HIGH or NAME=LOW..HIGH/STEPS: the same games with each value.")
]
AimOption = Annotated[
    str,
    typer.Option(
        help='"replays 8 %", "ball 45": find the setting that gives this (see --by); two goals: with " and ".'
    ),
]
ByOption = Annotated[
    str,
    typer.Option(
        help="With --aim: the setting that is sought, NAME or NAME=LOW..HIGH; several with commas between "
        "are sought together, by optuna."
    ),
]
TriesOption = Annotated[
    int, typer.Option("--tries", min=2, max=1_000, help="With several settings: how many values are tried.")
]
ResumeOption = Annotated[
    Path | None,
    typer.Option("--resume", help="File that keeps what is done; the same command goes on from what it has."),
]
PageOption = Annotated[
    Path | None, typer.Option("--page", help="Write everything as one HTML file with plots.")
]


class Asked(NamedTuple):
    """The options that ask a question; "" and None where not given."""

    sweep: str
    aim: str
    by: str
    against: str
    story: int | None
    tries: int


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(tune)


def tune(
    game: GameArgument = "honey_flow",
    count: Annotated[int, typer.Option("--games", min=2, max=1_000_000, help="How many games.")] = 400,
    skill: SkillOption = "steady",
    seed: Annotated[int, typer.Option(min=0, help="Seed of the first game; each has the next.")] = 1,
    setting: Annotated[list[str] | None, typer.Option("--set", help="A setting: NAME=VALUE.")] = None,
    sweep: SweepOption = "",
    aim: AimOption = "",
    by: ByOption = "",
    tries: TriesOption = 40,
    against: Annotated[str, typer.Option(help="Another version of the game, by name or folder.")] = "",
    workers: WorkersOption = 0,
    backend: BackendOption = "",
    resume: ResumeOption = None,
    picture: PageOption = None,
    story: Annotated[int | None, typer.Option(help="With --page: seed of the game with a timeline.")] = None,
    shot_map: season_timing.MapOption = "",
    spread: season_timing.SpreadOption = "",
    as_csv: Annotated[bool, typer.Option("--csv", help="Print the figures as CSV.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Play one-player games and say what each feature is worth, what is never seen, what a setting changes.

    Example: inlane tune honey_flow --skill steady --aim "replays 8 %"

    Example: inlane tune honey_flow --aim "ball 40 and game 4" --by ball_save,balls

    Ctrl-C ends it after the games under way; with --resume FILE the same command goes on next time.

    Exit code 0 when every game held, 1 when one did not, 130 after Ctrl-C.
    """
    asked = Asked(sweep, aim, by, against, story, tries)
    plan = _on_map(_plan(game, skill, seed, count, setting or []), shot_map, spread)
    kept = Kept(_question(plan, asked), resume)
    games = Games(kept, Stop(), workers, backend, resume, quiet=as_csv or as_json)
    found = _found(plan, asked, games)
    return INTERRUPTED if found is None else _give(found, picture, as_csv, as_json)


def _found(plan: Plan, asked: Asked, games: Games) -> Answer | None:
    """The answer; None, and a sentence, when Ctrl-C came first."""
    with games.stop:
        try:
            return _answer(plan, asked, games.play)
        except Interrupted as end:
            print(f"{end}; {_going_on(games.path)}", file=sys.stderr)
            return None


def _question(plan: Plan, asked: Asked) -> str:
    """What is asked, for a file to be resumed: all that decides which games are played."""
    options = {name: value for name, value in asked._asdict().items() if name != "story"}
    return f"{season_run.describe(plan.first_job(), NEVER)} {json.dumps(options)}"


def _going_on(resume: Path | None) -> str:
    return (
        f"the same command with --resume {resume} goes on" if resume else "with --resume FILE it could go on"
    )


def _plan(game: str, skill: str, seed: int, count: int, setting: list[str]) -> Plan:
    """The games to be played. Raises UsageError, GameError: no such game, skill or setting."""
    loaded = games.load(game)
    if skill != EVERY:
        season_player.require(loaded, skill)
    settings = tuple(tuning_questions.setting(text) for text in setting)
    loaded.console(settings=dict(settings))
    return Plan(game, skill, seed, count, 1, settings)


def _on_map(plan: Plan, shot_map: str, spread: str) -> Plan:
    """The same games with players who aim by a map. Raises UsageError, GameError: no such map or spread."""
    spread_ms = season_timing.spread_of(spread, shot_map)
    if shot_map:
        for skill in skills.NAMES if plan.skill == EVERY else (plan.skill,):
            season_timing.timing_of(games.load(plan.game), skill, shot_map, spread_ms)
    return plan._replace(shot_map=shot_map, spread_ms=spread_ms)


def _answer(plan: Plan, asked: Asked, play: Player) -> Answer:
    """The answer to what is asked. Raises UsageError: more than one question, or a wrong one."""
    if sum(map(bool, (asked.sweep, asked.aim, asked.against, plan.skill == EVERY))) > 1:
        raise UsageError("--sweep, --aim, --against and --skill all are questions of their own; give one")
    if asked.by and not asked.aim:
        raise UsageError("--by goes with --aim")
    if asked.sweep:
        return tuning_questions.sweep(plan, asked.sweep, play)
    if asked.aim:
        return tuning_aim.answer(plan, asked.aim, asked.by, asked.tries, play)
    if asked.against:
        return tuning_questions.against(plan, asked.against, play)
    if plan.skill == EVERY:
        return _by_skill(plan, play)
    return tuning_questions.season(plan, asked.story, play)


def _by_skill(plan: Plan, play: Player) -> Answer:
    played = [play(plan._replace(skill=name)) for name in skills.NAMES]
    return report.by_skill([tuning_questions.season_of(one) for one in played])


def _give(found: Answer, picture: Path | None, as_csv: bool, as_json: bool) -> int:
    """Print an answer in the wanted form, and write its page."""
    if as_json:
        print(answer.as_json(found))
    elif as_csv:
        print(answer.as_csv(found), end="")
    else:
        answer.show(found, Console())
    if picture is not None:
        page.write(found, picture)
    return 1 if found.findings else 0
