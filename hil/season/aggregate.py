"""A season in sums: results are added as they come and two aggregates are merged, in any order.

Its size depends on the game's names, not on how many games were played.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass, field

from hil.bench.game_result import GameResult
from hil.season.spread import Spread, spread_of

GROUPS = 100  # games of one seed modulo GROUPS are summed apart, so that intervals can be resampled
MOST_WRONG = 50  # findings whose words are in the aggregate; all are counted
COUNTED = ("awards", "points", "cues", "events", "entered", "shots", "shot_points", "drains", "mishaps")
SEEN_IN = ("awards", "cues", "events", "entered")  # of these also the games that had any

Counts = dict[str, int]


@dataclass
class Sums:
    """Sums over some games. `counts` has a table for each of COUNTED, and "games with NAME" for SEEN_IN."""

    games: int = 0
    judged: int = 0
    players: int = 0
    balls: int = 0
    ms: int = 0
    score: int = 0
    counts: dict[str, Counts] = field(default_factory=dict)

    def add(self, one: GameResult) -> None:
        """Add a game."""
        self.games += 1
        self.judged += one.judged
        self.players += one.players
        self.balls += one.balls
        self.ms += one.ms
        self.score += sum(one.scores)
        for table in COUNTED:
            _add(self.counts.setdefault(table, {}), getattr(one, table))
        for table in SEEN_IN:
            _add(self.counts.setdefault(f"games with {table}", {}), dict.fromkeys(getattr(one, table), 1))

    def merge(self, other: "Sums") -> None:
        """Add another's sums."""
        for name in ("games", "judged", "players", "balls", "ms", "score"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        for table, more in other.counts.items():
            _add(self.counts.setdefault(table, {}), more)


@dataclass
class Aggregate:
    """A season's games. `wrong`: by seed the first finding in words, of the MOST_WRONG lowest seeds."""

    groups: dict[int, Sums] = field(default_factory=dict)
    spreads: dict[str, Spread] = field(default_factory=dict)
    findings: int = 0
    wrong: dict[int, str] = field(default_factory=dict)

    def add(self, one: GameResult) -> None:
        """Add a game."""
        self.groups.setdefault(one.seed % GROUPS, Sums()).add(one)
        self._spread("score", one.scores)
        self._spread("ball_ms", one.ball_ms)
        self._spread("game_ms", [one.ms])
        self._spread("player_ms", [one.ms // max(1, one.players)])
        self.findings += len(one.findings)
        if one.findings:
            first = one.findings[0]
            self.wrong[one.seed] = f"expected {first.expected}, seen {first.seen}, at {first.at_ms} ms"
            self._keep_lowest()

    def merge(self, other: "Aggregate") -> None:
        """Add another's games; they are not these."""
        for group, sums in other.groups.items():
            self.groups.setdefault(group, Sums()).merge(sums)
        for name, spread in other.spreads.items():
            self.spreads.setdefault(name, Spread()).merge(spread)
        self.findings += other.findings
        self.wrong.update(other.wrong)
        self._keep_lowest()

    def total(self) -> Sums:
        """The sums over all games."""
        whole = Sums()
        for sums in self.groups.values():
            whole.merge(sums)
        return whole

    def text(self) -> str:
        """As JSON, the same to the byte for the same games in whatever order."""
        return json.dumps(self.plain(), sort_keys=True, separators=(",", ":"))

    def plain(self) -> dict[str, object]:
        """The parts that `text` writes."""
        return {
            "groups": {str(group): vars(sums) for group, sums in self.groups.items()},
            "spreads": {name: spread.plain() for name, spread in self.spreads.items()},
            "findings": self.findings,
            "wrong": {str(seed): words for seed, words in self.wrong.items()},
        }

    def _spread(self, name: str, values: Iterable[int]) -> None:
        spread = self.spreads.setdefault(name, Spread())
        for value in values:
            spread.add(value)

    def _keep_lowest(self) -> None:
        self.wrong = {seed: self.wrong[seed] for seed in sorted(self.wrong)[:MOST_WRONG]}


def aggregate_of(text: str) -> Aggregate:
    """The aggregate that `Aggregate.text` wrote."""
    plain = json.loads(text)
    return Aggregate(
        groups={int(group): Sums(**sums) for group, sums in plain["groups"].items()},
        spreads={name: spread_of(spread) for name, spread in plain["spreads"].items()},
        findings=plain["findings"],
        wrong={int(seed): words for seed, words in plain["wrong"].items()},
    )


def _add(table: Counts, more: Counts) -> None:
    for name, count in more.items():
        table[name] = table.get(name, 0) + count
