"""Chance follows the published odds: chi-squared at 0.99.

Critical values by degrees of freedom 1: 6.635, 2: 9.210, 5: 15.086 (computed with scipy 1.11's
`chi2.ppf(0.99, df)`). The seeds are fixed, so a test passes always or never.
"""

from collections import Counter

import pytest

from firmware.games.honey_flow.features.f12_queens_cell import QueensWheel
from hil import games

CRITICAL = {1: 6.635, 2: 9.210, 5: 15.086}
DRAWS = 20_000
SEEDS = (1, 2026)


def chi_squared(seen: list[int], weights: list[float]) -> float:
    whole, drawn = sum(weights), sum(seen)
    return sum((n - drawn * w / whole) ** 2 / (drawn * w / whole) for n, w in zip(seen, weights, strict=True))


def follows(seen: list[int], weights: list[float]) -> bool:
    return chi_squared(seen, weights) < CRITICAL[len(weights) - 1]


def honey_flow(seed: int, **settings: int):
    return games.load("honey_flow").console(seed=seed, settings=settings)


def stops(seed: int, odds: int) -> list[int]:
    wheel = honey_flow(seed, wheel_odds=odds).play.find("wheel")
    seen: Counter[int] = Counter()
    for _ in range(DRAWS):
        wheel.begin(0)
        seen[wheel._target] += 1
    return [seen[stop] for stop in range(wheel.stops)]


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("odds", [0, 1, 2])
def test_wheel_stops_follow_their_odds(seed, odds):
    """Eight stops in two groupings, for which critical values are at hand: five and the rest; the rest."""
    weights = [float(weight) for weight in QueensWheel.odds[odds]]
    seen = stops(seed, odds)
    assert sum(weights) == 100
    assert follows([*seen[:5], sum(seen[5:])], [*weights[:5], sum(weights[5:])])
    assert follows(seen[5:], weights[5:])


def test_odds_of_another_setting_do_not_fit():
    seen = stops(1, 0)
    even = [float(weight) for weight in QueensWheel.odds[1]]
    assert not follows([*seen[:5], sum(seen[5:])], [*even[:5], sum(even[5:])])


@pytest.mark.parametrize("seed", SEEDS)
def test_gold_cell_follows_its_weights(seed):
    gold = honey_flow(seed).play.find("gold_cell")
    seen: Counter[int] = Counter()
    for _ in range(DRAWS):
        gold.draw(0)
        seen[gold._step.value] += 1
    assert sorted(seen) == [4, 5, 6]
    assert follows([seen[4], seen[5], seen[6]], [1, 2, 3])


def matches(seed: int, per_cent: int, endings: tuple[int, ...]) -> Counter[int]:
    """How often each ending was drawn for players whose scores end so."""
    match = honey_flow(seed, match=per_cent).play.find("match")
    held = 0
    for ending in endings:
        held |= 1 << ending
    return Counter(match._draw(held) for _ in range(DRAWS))


@pytest.mark.parametrize("per_cent", [1, 10, 25, 50])
def test_one_player_matches_as_often_as_is_set(per_cent):
    drawn = matches(7, per_cent, (3,))
    assert follows([drawn[3], DRAWS - drawn[3]], [per_cent, 100 - per_cent])


@pytest.mark.parametrize("per_cent", [10, 40])
def test_each_of_two_players_matches_as_often_as_is_set(per_cent):
    drawn = matches(8, per_cent, (0, 9))
    rest = DRAWS - drawn[0] - drawn[9]
    assert follows([drawn[0], drawn[9], rest], [per_cent, per_cent, 100 - 2 * per_cent])


def test_an_ending_that_nobody_holds_is_drawn_evenly():
    """Nine endings share the rest: in three groups of three."""
    drawn = matches(9, 10, (5,))
    groups = [(0, 1, 2), (3, 4, 6), (7, 8, 9)]
    assert follows([sum(drawn[ending] for ending in group) for group in groups], [1, 1, 1])
