"""Row 20: balls stray, coils fail, several balls move at once; every ball must be accounted for.

Every eighth game is a whole one of a mixed season, with its multiballs. In the others balls are short, with
many serves, ejects and drains and mostly no ball save: a ball costs a quarter of the time.
"""

import functools
from collections.abc import Iterator
from itertools import count as numbers

from firmware.base.chance import Stream
from hil import games
from hil.bench.season import LOOK_MS, GameResult, SimulatedGame
from hil.benchmarks.reliability import Result
from hil.command.season_game import MIXED, Job, play_one
from hil.workers import FEW, map_in_order

GAME = "honey_flow"
MOST_PLAYERS = 4
WHOLE = 8  # one game of so many is a whole one
AS_DRAWN = 4  # one short game of so many keeps the settings drawn for it, the others have LONG_GAME's
LONG_GAME = {"balls": 5, "ball_save": 0}
LONG_LOOK_MS = 250
SHOTS_A_HANG = 150
LEAST_HANG_MS = 16_000  # the search begins after 15 s
STREAM = 16  # number of the random stream; player and plant have others


class HangingBallsGame(SimulatedGame):
    """A game whose player decides again when the plant has moved, at least every LONG_LOOK_MS.

    Now and then the balls in play hang where no switch is; the machine searches, and may give them up.
    """

    def _shoot(self) -> None:
        if not self._hangs.below(SHOTS_A_HANG):
            self.clock.run_to(self.clock.now + LEAST_HANG_MS + self._hangs.below(10) * 20_000)
        if self.view.playing:
            super()._shoot()

    def _judge(self, balls: int) -> None:
        super()._judge(balls)
        given_up = any(name == "ball_missing" for name, _ in self.target.faults)
        self._played.mishaps["games in which a ball was given up"] = int(given_up)

    @functools.cached_property
    def _hangs(self) -> Stream:
        return Stream(self._played.seed, STREAM)

    def _wait(self) -> None:
        now = self.clock.now
        self.clock.run_to(max(now + LOOK_MS, min(self._plant.due() or 0, now + LONG_LOOK_MS)))


def run(number: int, count: int, seed: int, on: str, workers: int) -> Iterator[Result]:
    """Play games from `seed` on until `count` balls were played."""
    balls = 0
    for one in map_in_order(play, numbers(seed), workers if count > FEW else 1):
        yield counted(one)
        balls += one.balls
        if balls >= count:
            break


def play(seed: int) -> GameResult:
    """Play and judge the game of this seed."""
    if seed % WHOLE == 0:
        return play_one(Job(GAME, MIXED, seed, MOST_PLAYERS, {}, mixed=True), kind=HangingBallsGame)
    settings = {} if seed % AS_DRAWN == 1 else LONG_GAME
    job = Job(GAME, MIXED, seed, MOST_PLAYERS, settings, mixed=True)
    return play_one(job, games.load(GAME).host("season").SHORT_BALLS, HangingBallsGame)


def counted(one: GameResult) -> Result:
    """The row's result for one game."""
    result = Result(ran=one.balls)
    result.count("games")
    result.count("players", one.players)
    result.count("multiballs", one.cues.get("swarm", 0))
    result.count("searches of the machine", one.cues.get("search", 0))
    for name, n in one.mishaps.items():
        result.count(name, n)
    result.most("longest game in minutes", one.ms / 60_000)
    for finding in one.findings:
        result.failed(f"seed {one.seed}: expected {finding.expected}, seen {finding.seen}")
    return result
