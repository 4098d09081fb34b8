"""Counts for the operator, kept over all games: of events by name, of final scores, and of each switch."""

from array import array

from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean

MOST = 1_000_000_000  # below 2^30, so that nothing allocates
SCORE_STEPS = (100_000, 250_000, 500_000, 1_000_000, 2_500_000, 5_000_000, 10_000_000)
NAMES = ("games", "balls", "extra_balls", "players", "play_seconds", "tilts", "slams", "coins")
GAMES, BALLS, EXTRA_BALLS, PLAYERS, PLAY_SECONDS, TILTS, SLAMS, COINS = range(8)
UNSEEN_MOST = 255


class Counts:
    """Counters: `names`, and their values in `values`; other modules add theirs at set-up with `declare`.

    `scores[i]` counts final scores below SCORE_STEPS[i], the last one those beyond every step.
    `closures` (how often it closed) and `unseen` (balls since it last closed) are by switch number.
    `changed`: something was counted that is not saved.
    """

    def __init__(self, switches: int) -> None:
        self.names = list(NAMES)
        self.values = [0] * len(NAMES)
        self.scores = array("i", [0] * (len(SCORE_STEPS) + 1))
        self.closures = array("i", [0] * switches)
        self.unseen = bytearray(switches)
        self.changed = False
        self._closed = bytearray(switches)
        self._began = 0

    def declare(self, name: str) -> int:
        """Add a counter if it does not exist; returns its index."""
        if name not in self.names:
            self.names.append(name)
            self.values.append(0)
        return self.names.index(name)

    def index(self, name: str) -> int:
        """The index of the counter `name`. Raises GameError, with a similar name if there is one."""
        if name not in self.names:
            raise GameError("there is no count '" + name + "'" + did_you_mean(name, self.names))
        return self.names.index(name)

    def add(self, at: int, n: int = 1) -> None:
        """Add `n` to the counter with index `at`; one near MOST stays as it is."""
        if self.values[at] < MOST - n:
            self.values[at] += n
        self.changed = True

    def get(self, name: str) -> int:
        """The value of the counter `name`. Raises GameError when there is none."""
        return self.values[self.index(name)]

    def game_begins(self, now_ms: int) -> None:
        """Count a game, and record when it begins."""
        self.add(GAMES)
        self._began = now_ms

    def game_over(self, scorer: "Scorer", players: int, now_ms: int) -> None:
        """Count players, play time and final scores of a game that ended; `players` is 0 after a slam."""
        self.add(PLAYERS, players)
        self.add(PLAY_SECONDS, ticks.diff(now_ms, self._began) // 1000)
        for player in range(players):
            self.score(scorer.scores[player])

    def score(self, points: int) -> None:
        """Count a player's final score."""
        at = 0
        while at < len(SCORE_STEPS) and points >= SCORE_STEPS[at]:
            at += 1
        self.scores[at] += 1
        self.changed = True

    def closed(self, switch: int) -> None:
        """Count a closure of `switch`."""
        if self.closures[switch] < MOST:
            self.closures[switch] += 1
        self._closed[switch] = 1

    def ball_over(self, playfield: bytearray) -> None:
        """A ball ended: add one to `unseen` of every switch that did not close during it.

        `playfield` marks the switches that a ball closes; a ball that closed none is not counted.
        """
        any_closed = False
        for switch in range(len(playfield)):
            if playfield[switch] and self._closed[switch]:
                any_closed = True
        if not any_closed:
            return
        self.add(BALLS)
        for switch in range(len(self._closed)):
            if self._closed[switch]:
                self._closed[switch] = 0
                self.unseen[switch] = 0
            elif self.unseen[switch] < UNSEEN_MOST:
                self.unseen[switch] += 1
        self.changed = True

    def clear(self) -> None:
        """Reset every count to 0."""
        for at in range(len(self.values)):
            self.values[at] = 0
        for at in range(len(self.scores)):
            self.scores[at] = 0
        for switch in range(len(self.closures)):
            self.closures[switch] = 0
            self.unseen[switch] = 0
        self.changed = True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.score import Scorer
