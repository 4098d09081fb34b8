"""The figures of a season for whoever tunes the rules, each with its interval."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from hil.bench.names import Names
from hil.season import intervals
from hil.season.aggregate import Aggregate, Counts, Sums
from hil.season.funnels import STAGES, Funnel, feature_of, reached
from hil.season.intervals import Interval

SECOND_MS = 1_000
PARTS = (("tenth", 0.1), ("quarter", 0.25), ("median", 0.5), ("three quarters", 0.75), ("ninetieth", 0.9))
REWARDS = {"extra balls": "extra_ball.awarded", "specials": "special.win", "replays": "replay.reached"}


class Line(NamedTuple):
    """One figure: `table` and `name` say of what, `unit` what it is in."""

    table: str
    name: str
    unit: str
    interval: Interval
    cases: int


class Season(NamedTuple):
    """What is known of a season: who played, its sums, and its lines of figures."""

    game: str
    skill: str
    settings: dict[str, int]
    games: int
    aggregate: Aggregate
    lines: tuple[Line, ...]
    unpaid: tuple[str, ...]
    never: tuple[str, ...]

    def of(self, table: str) -> list[Line]:
        """The lines of a table."""
        return [line for line in self.lines if line.table == table]


def lines_of(aggregate: Aggregate, funnels: Sequence[Funnel]) -> tuple[Line, ...]:
    """Every figure of a season."""
    total, groups = aggregate.total(), list(aggregate.groups.values())
    return (
        *_scores(aggregate, groups),
        *_times(groups, aggregate),
        *_rewards(groups, total),
        *_features(groups, total),
        *_shots(groups, total),
        *_drains(total),
        *_funnels(funnels, total),
    )


def unpaid(names: Names, total: Sums) -> tuple[str, ...]:
    """Awards that no game paid."""
    return tuple(name for name in names.awards if not total.counts.get("awards", {}).get(name))


def _scores(aggregate: Aggregate, groups: Sequence[Sums]) -> list[Line]:
    spread = aggregate.spreads["score"]
    mean = intervals.ratio([(sums.score, sums.players) for sums in groups])
    ordered = [low for low, count in spread.steps() for _ in range(count)]
    found = [Line("score", "mean", "points", mean, spread.count)]
    for name, at in PARTS:
        found.append(Line("score", name, "points", intervals.quantile(ordered, at), spread.count))
    return found


def _times(groups: Sequence[Sums], aggregate: Aggregate) -> list[Line]:
    found = []
    for name, table in (("a ball", "ball_ms"), ("a game", "game_ms")):
        spread = aggregate.spreads[table]
        mean = spread.mean() / SECOND_MS
        half = _half_width(spread.count, spread.sum, spread.squares) / SECOND_MS
        found.append(Line("time", name, "s", Interval(mean, mean - half, mean + half), spread.count))
    balls = intervals.ratio([(sums.balls, sums.players) for sums in groups])
    return [*found, Line("time", "balls a player", "balls", balls, sum(s.balls for s in groups))]


def _rewards(groups: Sequence[Sums], total: Sums) -> list[Line]:
    found = []
    for name, event in REWARDS.items():
        cases = _count(total, "events", event)
        each = intervals.ratio([(_count(sums, "events", event), sums.players) for sums in groups], 0)
        games = intervals.share(_count(total, "games with events", event), total.games)
        found += [
            Line("reward", f"{name} a player", "times", each, cases),
            Line("reward", f"games with {name}", "share", games, cases),
        ]
    return found


def _features(groups: Sequence[Sums], total: Sums) -> list[Line]:
    """The share of all points that each feature paid, largest first."""
    paid = [by_feature(sums) for sums in groups]
    wholes = [sum(points.values()) for points in paid]
    found = []
    for feature, points in by_feature(total).items():
        parts = [group.get(feature, 0) for group in paid]
        found.append(
            Line(
                "share",
                feature,
                "share",
                intervals.ratio(list(zip(parts, wholes, strict=True)), least=0),
                points,
            )
        )
    return sorted(found, key=lambda line: -line.interval.value)


def by_feature(sums: Sums) -> Counts:
    """Points by feature."""
    found: Counts = {}
    for award, points in sums.counts.get("points", {}).items():
        feature = feature_of(award)
        found[feature] = found.get(feature, 0) + points
    return found


def _shots(groups: Sequence[Sums], total: Sums) -> list[Line]:
    """Points from one shot to the next, by shot, for each attempt."""
    found = []
    for shot, cases in total.counts.get("shots", {}).items():
        pairs = [(_count(sums, "shot_points", shot), _count(sums, "shots", shot)) for sums in groups]
        found.append(Line("shot", shot, "points", intervals.ratio(pairs, least=0), cases))
    return sorted(found, key=lambda line: -line.interval.value)


def _drains(total: Sums) -> list[Line]:
    drains = total.counts.get("drains", {})
    whole = sum(drains.values())
    found = [Line("drain", name, "share", intervals.share(n, whole), n) for name, n in drains.items()]
    return sorted(found, key=lambda line: -line.cases)


def _funnels(funnels: Sequence[Funnel], total: Sums) -> list[Line]:
    return [
        Line("funnel", f"{funnel.feature}: {stage}", "share", intervals.share(games, total.games), games)
        for funnel in funnels
        for stage, counted in zip(STAGES, funnel.stages, strict=True)
        if counted
        for games in [reached(counted, total)]
    ]


def _half_width(count: int, total: int, squares: int) -> float:
    """Half of the interval of a mean, of independent values."""
    if count < 2:
        return math.inf
    variance = max(0.0, (squares - total * total / count) / (count - 1))
    return intervals.Z * math.sqrt(variance / count)


def _count(sums: Sums, table: str, name: str) -> int:
    return sums.counts.get(table, {}).get(name, 0)
