"""The games that `inlane tune` plays: by seeing players, without records."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from rich.progress import track

from hil.bench.game_result import GameResult
from hil.bench.quiet import QuietGame
from hil.command.season_game import Job, play_one
from hil.season.aggregate import Aggregate
from hil.season.measures import Measured
from hil.workers import FEW, map_in_order, workers_here


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

    def jobs(self) -> Iterable[Job]:
        """One job a game."""
        settings = dict(self.settings)
        seeds = range(self.seed, self.seed + self.games)
        first = Job(self.game, self.skill, self.seed, self.players, settings, False)
        aimed = first._replace(shot_map=self.shot_map, spread_ms=self.spread_ms)
        return [aimed._replace(seed=seed) for seed in seeds]

    def with_setting(self, name: str, value: int) -> "Plan":
        """The same games with one setting changed."""
        return self._replace(settings=tuple((dict(self.settings) | {name: value}).items()))


class Played(NamedTuple):
    """What the games of a plan gave."""

    plan: Plan
    aggregate: Aggregate
    measured: Measured


Player = Callable[[Plan], Played]


def play(plan: Plan, quiet: bool = False) -> Played:
    """Play the games of a plan."""
    played = Played(plan, Aggregate(), Measured())
    workers = workers_here() if plan.games > FEW else 1
    words = " ".join((plan.skill, *(f"{name}={value}" for name, value in plan.settings)))
    found = map_in_order(play_quietly, plan.jobs(), workers)
    for one in track(found, words, total=plan.games, disable=quiet):
        played.aggregate.add(one)
        played.measured.add(one)
    return played


def play_quietly(job: Job) -> GameResult:
    """One game without records."""
    return play_one(job, kind=QuietGame)
