"""The games that `inlane tune` plays: without records, block by block, and kept for `--resume`."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import NamedTuple

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from hil.bench.game_result import GameResult
from hil.bench.quiet import QuietGame
from hil.command import season_run
from hil.command.season_game import Job, play_one
from hil.season.aggregate import Aggregate
from hil.season.kept import Kept
from hil.season.measures import Measured
from hil.season.run import Block, Run, Stop

COLUMNS = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
NEVER = 0  # no game is played with records


class Plan(NamedTuple):
    """Which games are played: `games` of them, of seeds from `seed` on."""

    game: str
    skill: str
    seed: int
    games: int
    players: int = 1
    settings: tuple[tuple[str, int], ...] = ()
    shot_map: str = ""
    spread_ms: float = 0.0

    def first_job(self) -> Job:
        """The first game."""
        job = Job(self.game, self.skill, self.seed, self.players, dict(self.settings), False)
        return job._replace(shot_map=self.shot_map, spread_ms=self.spread_ms)

    def with_settings(self, values: dict[str, int]) -> "Plan":
        """The same games with some settings changed."""
        return self._replace(settings=tuple((dict(self.settings) | values).items()))

    def fresh(self) -> "Plan":
        """As many other games."""
        return self._replace(seed=self.seed + self.games)

    def words(self) -> str:
        """What a bar of progress says."""
        return " ".join((self.skill, *(f"{name}={value}" for name, value in self.settings)))


class Played(NamedTuple):
    """What the games of a plan gave."""

    plan: Plan
    aggregate: Aggregate
    measured: Measured


class Interrupted(Exception):
    """Ctrl-C ended the games of a plan."""


Player = Callable[[Plan], Played]


@dataclass(frozen=True)
class Games:
    """Plays the games of plans, by `workers` processes (0: one for each core) on a backend of joblib's.

    What `kept` has is not played again; with a `path` it is written there. `quiet`: no bar of progress.
    """

    kept: Kept
    stop: Stop
    workers: int = 0
    backend: str = ""
    path: Path | None = None
    quiet: bool = False

    def play(self, plan: Plan) -> Played:
        """Play a plan. Raises Interrupted, and UsageError: the file that keeps it."""
        job = plan.first_job()
        progress = self.kept.progress(season_run.describe(job, NEVER), plan.games)
        workers = season_run.workers_for(plan.games, self.workers)
        run = Run(workers, self.backend, self.path, progress.measured.add)
        with Progress(*COLUMNS, console=Console(stderr=True), disable=self.quiet) as bar:
            task = bar.add_task(plan.words(), total=plan.games, completed=progress.done)
            for done in run.play(partial(play_block, job), plan.games, progress, self.stop):
                bar.update(task, completed=done)
        if progress.done < plan.games:
            raise Interrupted(f"interrupted after {progress.done} of {plan.games} games")
        return Played(plan, progress.aggregate, progress.measured)


def play_block(job: Job, block: Block) -> list[GameResult]:
    """Play a block of the games whose first one is `job`, without records."""
    numbers = range(block.first, block.first + block.games)
    return [play_one(job._replace(seed=job.seed + number), kind=QuietGame) for number in numbers]
