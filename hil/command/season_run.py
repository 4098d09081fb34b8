"""Plays a season with a bar of progress, and says which games did not hold."""

import hashlib
import json
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from hil import games
from hil.bench.game_result import GameResult
from hil.command.season_game import Job, play_block
from hil.season import run as season
from hil.season.aggregate import Aggregate
from hil.workers import FEW, workers_here


def workers_for(count: int, asked: int) -> int:
    """How many processes play `count` games: as asked, or one for each core unless the games are few."""
    return asked or (workers_here() if count > FEW else 1)


def play(job: Job, count: int, every: int, run: season.Run, quiet: bool) -> tuple[Aggregate, bool]:
    """Play `count` games from `job` on; the sums, and whether Ctrl-C ended it. `quiet`: show no progress.

    Raises UsageError when the kept file is of another season.
    """
    what = describe(job, every)
    progress = season.resumed(what, count, run.kept) if run.kept else season.Progress(what)
    shown = Console(stderr=True)
    columns = (TextColumn("games"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with season.Stop() as stop, Progress(*columns, console=shown, disable=quiet) as bar:
        task = bar.add_task("games", total=count, completed=progress.done)
        told = replace(run, each=run.each or (None if quiet else _tell))
        for done in told.play(partial(play_block, job, every), count, progress, stop):
            bar.update(task, completed=done)
    interrupted = stop.wanted and progress.done < count
    if interrupted:
        kept = f"--resume {run.kept} goes on" if run.kept else "with --resume FILE it could go on"
        print(f"interrupted after {progress.done} of {count} games; {kept}", file=sys.stderr)
    return progress.aggregate, interrupted


def describe(job: Job, every: int) -> str:
    """Which season it is, for a file to be resumed: all that decides its results, files by their digest."""
    game = games.load(job.game)
    digest = hashlib.sha256()
    host = [(path.name, path.read_bytes()) for path in sorted((game.folder / "host").glob("*.py"))]
    for name, data in [*game.identity_files(), *host]:
        digest.update(f"{name} {len(data)}\n".encode() + data)
    if job.shot_map:
        digest.update(Path(job.shot_map).read_bytes())
    asked = {name: value for name, value in job._asdict().items() if name != "game"}
    options = json.dumps({**asked, "full every": every}, sort_keys=True)
    return f"{game.name} {digest.hexdigest()[:16]} {options}"


def _tell(one: GameResult) -> None:
    for finding in one.findings:
        words = f"expected {finding.expected}, seen {finding.seen}, at {finding.at_ms} ms"
        print(f"seed {one.seed} ({one.skill} {one.settings}): {words}")
