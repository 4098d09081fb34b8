"""Random games and a game's own scripts, played by `inlane check` and judged by the standing checks."""

import re
import sys
from collections.abc import Iterable, Iterator
from functools import partial
from pathlib import Path

from rich.console import Console
from rich.progress import track

from hil import games
from hil.bench.failure import STOPPED
from hil.bench.outcome import FAIL
from hil.bench.scripts import script
from hil.bench.season import GameResult, SimulatedGame
from hil.bench.targets.endless import STUCK
from hil.checks.build import shown
from hil.checks.source import Finding
from hil.command.replay import Bench
from hil.command.season_game import ENDLESS, Job, play_one
from hil.game_tables import setting_rows
from hil.workers import FEW, map_in_order, workers_here

USUAL = 200
BALLS = "balls"
PLACE = re.compile(r"(\w+\.py):(\d+)")


class ShortGame(SimulatedGame):
    """A game of few balls, which has an end soon."""

    limit_ms = 30 * 60_000


def played(name: str, count: int, quiet: bool) -> list[Finding]:
    """What was wrong in `count` random games and in the game's scripts, each sentence once."""
    game = games.load(name)
    least = {row.name: row.least for row in setting_rows(game.module) if row.name == BALLS}
    jobs = [Job(name, "", seed, 1, least, mixed=True) for seed in range(1, count + 1)]
    play = partial(play_one, kind=ShortGame)
    results = map_in_order(play, jobs, workers_here() if count > FEW else 1)
    hidden = quiet or not sys.stderr.isatty()
    shown_as = track(results, "random games", count, console=Console(stderr=True), disable=hidden)
    return [*_of_games(game, shown_as), *_of_scripts(game)]


def _of_games(game: games.Game, results: Iterable[GameResult]) -> Iterator[Finding]:
    """One finding for each thing that was expected and not seen, at the rule's line if it is known."""
    found: dict[tuple[str, str], list[str]] = {}
    for one in results:
        for finding in one.findings[:1]:
            where, seen = _blame(game, str(finding.seen))
            text = f"seed {one.seed} at {finding.at_ms} ms: expected {finding.expected}, seen {seen}"
            found.setdefault((finding.expected, where), []).append(text)
            if STUCK in seen:  # each of them takes long to play
                yield Finding(f"random game of {text}", where)
                return
            if seen.startswith(ENDLESS):
                text = f"random game of seed {one.seed} has {seen}: give drains more weight in SHOT_ODDS"
                yield Finding(text, f"{shown(game.folder)}/host/season.py:1")
                return
    for (_expected, where), texts in found.items():
        more = f"; {len(texts) - 1} more random games like it" if len(texts) > 1 else ""
        yield Finding(f"random game of {texts[0]}{more}", where)


def _of_scripts(game: games.Game) -> Iterator[Finding]:
    """Scripts that stop the machine, and a note of those that fail: `inlane replay` says why."""
    failed = []
    paths = sorted(game.scripts.rglob(f"*{script.SUFFIX}"))
    with Bench("desk") as bench:
        for path in paths:
            outcome = bench.run(bench.read(path, game), game)
            failed += [path.name] * (outcome.code == FAIL)
            stopped = [one.seen for one in outcome.problems if one.expected == STOPPED]
            for text in stopped or [outcome.reason] * bool(outcome.reason):
                where, words = _blame(game, text)
                yield Finding(f"script {path.name} stops the machine: {words}", where)
                if STUCK in words:
                    return
    if failed:
        fails = f"{len(failed)} of {len(paths)} scripts fail{'s' * (len(failed) == 1)} ({failed[0]}"
        where = f"{shown(game.folder)}/scripts"
        more = " …" if len(failed) > 1 else ""
        yield Finding(f"{fails}{more}): inlane replay {where}", where, fatal=False)


def _blame(game: games.Game, text: str) -> tuple[str, str]:
    """The file and line of the game that the sentence names, else its game.py; and the sentence."""
    named = PLACE.search(text)
    paths: list[Path] = sorted(game.folder.rglob(named[1])) if named else []
    if named and paths:
        return f"{shown(game.folder)}/{paths[0].relative_to(game.folder).as_posix()}:{named[2]}", text
    return f"{shown(game.folder)}/game.py", text
