"""Row 20: balls go astray, coils fail, two move at once; every ball must be accounted for."""

import multiprocessing
import os
from collections.abc import Iterator

from hil.command.season import MIXED, Job, play_one
from hil.reliability import Result
from hil.season import Played

GAME = "honey_flow"
MOST_PLAYERS = 4
BATCH = 16


def run(number: int, count: int, seed: int, on: str) -> Result:
    """Mixed games from `seed` on until `count` balls were played."""
    result = Result()
    for one in _games(seed, count):
        result.ran += one.balls
        result.tally("games")
        result.tally("players", one.players)
        result.tally("multiballs", one.cues.get("swarm", 0))
        result.tally("searches", one.cues.get("search", 0))
        result.most("longest game in minutes", one.ms / 60_000)
        for finding in one.findings:
            result.failed(f"seed {one.seed}: expected {finding.expected}, seen {finding.seen}")
        if result.ran >= count:
            break
    return result


def _games(seed: int, count: int) -> Iterator[Played]:
    """Games without end for a large count; a small one is played in this process."""
    if count <= BATCH:
        while True:
            yield play_one(Job(GAME, MIXED, seed, MOST_PLAYERS, {}, mixed=True))
            seed += 1
    with multiprocessing.Pool(os.cpu_count() or 1) as pool:
        while True:
            jobs = [Job(GAME, MIXED, seed + i, MOST_PLAYERS, {}, mixed=True) for i in range(BATCH)]
            yield from pool.imap(play_one, jobs)
            seed += BATCH
