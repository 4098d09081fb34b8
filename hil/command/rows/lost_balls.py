"""Row 20: balls go astray, coils fail, several move at once; every ball must be accounted for.

Every EIGHTH game is a whole one of a mixed season, with its multiballs. In the others balls are short, with
many a serve, eject and drain, and mostly none is saved: a ball costs a quarter of the time.
"""

from itertools import count as numbers

from hil import games
from hil.command.season import MIXED, Job, play_one
from hil.reliability import Result
from hil.reliability.pieces import FEW, shared
from hil.season import LOOK_MS, Match, Played

GAME = "honey_flow"
MOST_PLAYERS = 4
EIGHTH = 8
AS_DRAWN = 4  # one short game of so many keeps the settings drawn for it, the others have LONG_GAME's
LONG_GAME = {"balls": 5, "ball_save": 0}
LONG_LOOK_MS = 250


class Patient(Match):
    """A player who looks again when a ball has got somewhere, and at least every LONG_LOOK_MS."""

    def _wait(self) -> None:
        now = self.clock.now
        self.clock.run_to(max(now + LOOK_MS, min(self._plant.due() or 0, now + LONG_LOOK_MS)))


def run(number: int, count: int, seed: int, on: str, workers: int) -> Result:
    """Games from `seed` on until `count` balls were played."""
    result = Result()
    for one in shared(play, numbers(seed), workers if count > FEW else 1):
        result.add(counted(one))
        if result.ran >= count:
            break
    return result


def play(seed: int) -> Played:
    """The game of this seed, judged."""
    if seed % EIGHTH == 0:
        return play_one(Job(GAME, MIXED, seed, MOST_PLAYERS, {}, mixed=True), kind=Patient)
    settings = {} if seed % AS_DRAWN == 1 else LONG_GAME
    job = Job(GAME, MIXED, seed, MOST_PLAYERS, settings, mixed=True)
    return play_one(job, games.load(GAME).host("season").SHORT_BALLS, Patient)


def counted(one: Played) -> Result:
    """What one game adds to the row."""
    result = Result(ran=one.balls)
    result.tally("games")
    result.tally("players", one.players)
    result.tally("multiballs", one.cues.get("swarm", 0))
    result.tally("searches", one.cues.get("search", 0))
    for name, n in one.mishaps.items():
        result.tally(name, n)
    result.most("longest game in minutes", one.ms / 60_000)
    for finding in one.findings:
        result.failed(f"seed {one.seed}: expected {finding.expected}, seen {finding.seen}")
    return result
