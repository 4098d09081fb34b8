"""Row 21: random games of Honey Flow, each award compared with an independent model of the rule sheet."""

from collections.abc import Iterator

from hil.bench.season import GameResult
from hil.benchmarks.reliability import Result
from hil.command.season_game import MIXED, MODEL, Job, play_one
from hil.workers import FEW, map_in_order

GAME = "honey_flow"
MOST_PLAYERS = 4


def run(number: int, count: int, seed: int, on: str, workers: int) -> Iterator[Result]:
    """Play and judge `count` games from `seed` on."""
    yield from map(counted, map_in_order(play, range(seed, seed + count), workers if count > FEW else 1))


def play(seed: int) -> GameResult:
    """Play the game of this seed."""
    return play_one(Job(GAME, MIXED, seed, MOST_PLAYERS, {}, mixed=True, judge=MODEL))


def counted(one: GameResult) -> Result:
    """The row's result for one game."""
    result = Result(ran=1)
    result.count("players", one.players)
    result.count("balls", one.balls)
    result.count("awards", sum(one.awards.values()))
    result.count("multiballs", one.cues.get("swarm", 0))
    result.count("tilts", one.cues.get("tilt", 0))
    if one.findings:
        first = one.findings[0]
        result.failed(f"seed {one.seed}: expected {first.expected}, seen {first.seen}, at {first.at_ms} ms")
    return result
