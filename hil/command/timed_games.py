"""A program: plays games of a season in the checkout that is first on the import path, and prints their cost.

Arguments: game, skill, games, balls, whether to profile. It runs in older checkouts as well, so it asks for
what they lack.
"""

import cProfile
import importlib
import importlib.util
import json
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

ROOT = Path(sys.path[0])
GIVEN = 5
LEAST_S = 0.1  # of CPU time: some kernels count it in steps of 4 ms; the games are played again until then


def main(game: str, skill: str, count: int, balls: int, profiled: bool) -> None:
    """Print one line of JSON: simulated and CPU seconds; with `profiled` the seconds in each folder."""
    play = player(game, skill, balls)
    play(count + 1)  # builds what is built once
    if profiled:
        print(json.dumps(profile(play, count)))
        return
    began, rounds = time.process_time(), 0
    while not rounds or time.process_time() - began < LEAST_S:
        simulated = sum(play(seed) for seed in range(1, count + 1))
        rounds += 1
    spent = time.process_time() - began
    print(json.dumps({"simulated_s": simulated / 1000, "cpu_s": spent / rounds}))


def player(game: str, skill: str, balls: int) -> Callable[[int], int]:
    """Plays the game of a seed and returns its simulated ms: without records where the checkout can."""
    season_game = importlib.import_module("hil.command.season_game")
    if importlib.util.find_spec("hil.bench.quiet") is None:
        play_one = season_game.play_one
    else:
        play_one = partial(season_game.play_one, kind=importlib.import_module("hil.bench.quiet").QuietGame)

    def play(seed: int) -> int:
        one = play_one(season_game.Job(game, skill, seed, 4, {"balls": balls}, False))
        if one.findings:
            raise SystemExit(f"seed {seed}: {one.findings[0]}")
        return int(one.ms)

    return play


def profile(play: Callable[[int], int], count: int) -> dict[str, float]:
    """Seconds within each folder of the checkout, and in Python's own functions, under the profiler."""
    profiler = cProfile.Profile()
    profiler.enable()
    for seed in range(1, count + 1):
        play(seed)
    profiler.disable()
    found: dict[str, float] = {}
    for entry in profiler.getstats():
        path = Path("" if isinstance(entry.code, str) else entry.code.co_filename)
        inside = path.is_relative_to(ROOT)
        folder = "/".join(path.relative_to(ROOT).parts[:2]) if inside else "compiled, and functions of Python"
        found[folder] = found.get(folder, 0) + entry.inlinetime
    return found


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4]), sys.argv[GIVEN] == "profile")
