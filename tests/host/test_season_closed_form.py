"""A season's counts against closed forms: a player who knows two shots, one of which drains.

With probability p of a drain each ball takes a geometric number of other shots, and a game of three balls a
negative binomial one: P(n) = C(n+2, 2) (1-p)^n p^3 (any text on probability: mem). Chi-squared at 0.99 for 5
degrees of freedom: 15.086 (ran, scipy). The seeds are fixed, so a test passes always or never.
"""

from math import comb

import pytest

from hil.command.season_game import Job, play_one

BALLS = 3
GAMES = 150
CRITICAL = 15.086
EDGES = (5, 8, 12, 16, 21)  # six bins of slings in a game
P = 0.2


def slings(drain: int, games: int = GAMES) -> list[int]:
    """Sling hits in each of `games` games, with `drain` of 100 shots down the drain."""
    odds = (("left_sling", 100 - drain), ("drain", drain))
    counted = []
    for seed in range(1, games + 1):
        one = play_one(Job("honey_flow", "regular", seed, 1, {"ball_save": 0}, False), odds=odds)
        assert (one.findings, one.balls) == ([], BALLS)
        counted.append(one.awards.get("small.sling", 0))
    return counted


def expected(p: float) -> list[float]:
    """The share of games in each bin."""
    shares = [comb(n + BALLS - 1, BALLS - 1) * (1 - p) ** n * p**BALLS for n in range(EDGES[-1])]
    bounds = (0, *EDGES)
    bins = [sum(shares[low:high]) for low, high in zip(bounds, EDGES, strict=False)]
    return [*bins, 1 - sum(bins)]


def chi_squared(counted: list[int], p: float) -> float:
    seen = [
        sum(low <= n < high for n in counted) for low, high in zip((0, *EDGES), (*EDGES, 10**9), strict=True)
    ]
    return sum(
        (n - len(counted) * share) ** 2 / (len(counted) * share)
        for n, share in zip(seen, expected(p), strict=True)
    )


@pytest.fixture(scope="module")
def of_a_fifth() -> list[int]:
    return slings(20)


@pytest.mark.slow
def test_hits_of_a_game_are_spread_as_the_negative_binomial(of_a_fifth):
    assert chi_squared(of_a_fifth, P) < CRITICAL


@pytest.mark.slow
def test_the_mean_lies_within_the_closed_forms_error(of_a_fifth):
    mean = BALLS * (1 - P) / P
    error = (BALLS * (1 - P) / P**2 / GAMES) ** 0.5
    assert sum(of_a_fifth) / GAMES == pytest.approx(mean, abs=2.576 * error)  # 99 %


@pytest.mark.slow
def test_another_share_of_drains_does_not_fit(of_a_fifth):
    assert chi_squared(of_a_fifth, 0.27) > CRITICAL
