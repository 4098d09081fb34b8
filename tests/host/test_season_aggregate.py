"""A season's aggregate: the same text in whatever order it is merged; quantiles are those of the values."""

import random

import pytest

from hil.bench.evidence import Finding
from hil.bench.game_result import GameResult
from hil.season.aggregate import MOST_WRONG, Aggregate, aggregate_of
from hil.season.spread import Spread, bin_of


def games(count: int) -> list[GameResult]:
    chance = random.Random(5)
    made = []
    for seed in range(count):
        one = GameResult(seed, 1 + seed % 4, ms=chance.randrange(300_000), balls=3)
        one.scores = [chance.randrange(20_000_000) for _ in range(one.players)]
        one.awards = {f"a{chance.randrange(4)}": 2, "b": 1}
        one.points = {name: chance.randrange(9_999) for name in one.awards}
        one.findings = [Finding("x", str(seed), 3)] * (seed % 2)
        made.append(one)
    return made


def added(played: list[GameResult]) -> Aggregate:
    whole = Aggregate()
    for one in played:
        whole.add(one)
    return whole


def test_the_order_and_the_parts_make_no_difference():
    played = games(300)
    whole = added(played)
    parts = [added(played[200:]), added(played[:90]), added(played[90:200])]
    parts[1].merge(parts[2])
    parts[0].merge(parts[1])
    assert parts[0].text() == whole.text() == added(played[::-1]).text()
    assert aggregate_of(whole.text()).text() == whole.text()


def test_totals_are_those_of_the_games():
    played = games(300)
    total = added(played).total()
    assert total.games == 300
    assert total.score == sum(sum(one.scores) for one in played)
    assert total.counts["points"]["b"] == sum(one.points["b"] for one in played)
    assert total.counts["games with awards"]["a1"] == sum("a1" in one.awards for one in played)


def test_findings_are_all_counted_and_the_lowest_seeds_have_words():
    whole = added(games(300))
    assert whole.findings == 150
    assert list(whole.wrong) == [2 * at + 1 for at in range(MOST_WRONG)]
    assert whole.wrong[7] == "expected x, seen 7, at 3 ms"


def test_its_size_does_not_grow_with_the_games():
    few, many = added(games(4_000)), added(games(16_000))
    assert len(many.text()) < 1.5 * len(few.text())  # four times the games: the counts have more digits


def test_spread_is_exact_where_it_says_so():
    chance = random.Random(2)
    values = [int(10 ** chance.uniform(0, 8)) for _ in range(2_001)]
    spread = Spread()
    for value in values:
        spread.add(value)
    assert (spread.count, spread.sum, spread.least, spread.most) == (
        len(values),
        sum(values),
        min(values),
        max(values),
    )
    for part in (0.0, 0.1, 0.5, 0.9, 1.0):
        true = sorted(values)[min(int(part * len(values)), len(values) - 1)]
        assert true / 1.008 <= spread.quantile(part) <= true
    assert spread.reached(1 << 20) == sum(value >= 1 << 20 for value in values)


def test_bins_are_narrow_and_their_own():
    for value in [*range(2_000), 10**6, 10**9 + 7]:
        low = bin_of(value)
        assert bin_of(low) == low <= value <= low * 1.008
        assert value >= 256 or low == value


def test_negative_values_are_refused():
    with pytest.raises(ValueError, match="-1"):
        Spread().add(-1)
