"""`inlane measure season`: simulated seconds for each CPU second, beside another checkout."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.command import timed_games
from hil.command.season_odds import REGULAR, tables
from hil.compiled import VARIABLE
from hil.game_tables import setting_rows
from hil.micropython import ROOT
from simulator.player import odds_of

LEAST_SHARE = 0.01  # folders of less are not listed


@dataclass(frozen=True)
class Timed:
    """Games of one length in one checkout."""

    balls: int
    simulated_s: float
    cpu_s: float

    @property
    def rate(self) -> float:
        """Simulated seconds for each second of CPU time."""
        return self.simulated_s / self.cpu_s


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(season)


def season(
    game: Annotated[str, typer.Option("--game", help="Game, by name or folder.")] = "honey_flow",
    skill: Annotated[str, typer.Option(help="Skill of the players.")] = REGULAR,
    count: Annotated[int, typer.Option("--games", min=1, help="Games of each length.")] = 5,
    beside: Annotated[
        Path | None, typer.Option(help="A checkout of another state, measured in turn with this one.")
    ] = None,
    compiled: Annotated[
        Path | None, typer.Option(help="What `inlane quicken` made; used here, not in the other checkout.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Simulated seconds that a season plays for each second of CPU time, and where the time goes.

    Example: inlane measure season --beside ../before

    Games of each number of balls that the game's settings allow, without records where the checkout can.
    Exit code 1 when a game does not hold.
    """
    found = games.load(game)
    odds_of(tables(found), skill)
    if beside is not None and not (beside / "hil" / "command" / "season_game.py").is_file():
        raise UsageError("there is no checkout: it has no hil/command/season_game.py", str(beside))
    roots = {"here": ROOT} | ({"beside": beside.resolve()} if beside else {})
    timed: dict[str, list[Timed]] = {name: [] for name in roots}
    for balls in _lengths(found):
        for name, root in reversed(roots.items()):
            told = _run(
                root, [game, skill, str(count), str(balls), "time"], compiled if root == ROOT else None
            )
            timed[name].append(Timed(balls, told["simulated_s"], told["cpu_s"]))
    shares = _shares(_run(ROOT, [game, skill, str(count), str(_lengths(found)[-1]), "profile"], compiled))
    if as_json:
        figures = {name: [vars(one) | {"rate": one.rate} for one in rows] for name, rows in timed.items()}
        print(json.dumps(figures | {"shares": shares}))
        return 0
    _show(timed, count)
    for folder, share in shares.items():
        print(f"  {share:4.0%} {folder}")
    return 0


def _show(timed: dict[str, list[Timed]], count: int) -> None:
    for name, rows in timed.items():
        for one in rows:
            print(
                f"{name:7}{count} games of {one.balls} balls: {one.simulated_s:8,.0f} simulated s in "
                f"{one.cpu_s:6.2f} s of CPU time, {one.rate:7,.0f} a second"
            )
        cpu = sum(one.cpu_s for one in rows)
        print(f"{name:7}all: {sum(one.simulated_s for one in rows) / cpu:,.0f} a second")
    print("where the time goes here, under the profiler:")


def _lengths(game: games.Game) -> list[int]:
    """The numbers of balls that a game's settings allow."""
    rows = [row for row in setting_rows(game.module) if row.name == "balls"]
    if not rows:
        raise UsageError(f"game '{game.name}' has no setting 'balls', so its games have one length only")
    return list(range(rows[0].least, rows[0].most + 1, 2))


def _shares(seconds: dict[str, float]) -> dict[str, float]:
    whole = sum(seconds.values())
    listed = sorted(seconds, key=lambda folder: -seconds[folder])
    return {
        folder: round(seconds[folder] / whole, 3)
        for folder in listed
        if seconds[folder] >= whole * LEAST_SHARE
    }


def _run(root: Path, words: list[str], compiled: Path | None) -> dict[str, float]:
    """The figures of a process that plays in this checkout. Raises UsageError when it stops."""
    program = "import runpy, sys; sys.path[0] = sys.argv[1]; sys.argv[:] = sys.argv[2:]; "
    program += "runpy.run_path(sys.argv[0], run_name='__main__')"
    command = [sys.executable, "-c", program, str(root), str(timed_games.__file__), *words]
    environment = {name: value for name, value in os.environ.items() if name != VARIABLE}
    if compiled is not None:
        environment[VARIABLE] = str(compiled.resolve())
    done = subprocess.run(command, capture_output=True, text=True, cwd=root, env=environment)
    if done.stderr and not done.returncode:
        raise UsageError(done.stderr.strip().splitlines()[-1])
    if done.returncode:
        last = (done.stderr.strip() or "no reason given").splitlines()[-1]
        raise UsageError(f"the games stopped: {last}", str(root))
    told: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return told
