"""Intervals against published values, another library, and closed forms: 95 % of them hold the truth.

Of 100 fixed seeds at least 89 must: fewer come once in 200 when each holds with 0.95 (binomial). Absorbing
chains: Grinstead and Snell, Introduction to Probability, 11.2 (drunkard's walk; tennis from deuce), 12.2
(gambler's ruin).
"""

import math
from collections.abc import Callable
from statistics import fmean

import pytest

from firmware.base.chance import Stream
from firmware.games.honey_flow.features.f12_queens_cell import QueensWheel
from hil import games
from hil.bench.quiet import QuietGame
from hil.command.season_game import Job, play_one
from hil.season import comparison, intervals
from hil.season.intervals import Interval
from hil.season.measures import MEASURES, Measured

SEEDS = range(1, 101)
LEAST = 89
CASES = 200
WALKS = 400  # steps of a walk are skewed: the normal law needs more of them
PARTS = 10_000


def held(of: Callable[[int], Interval], truth: float) -> int:
    """How many of the seeds' intervals hold the truth."""
    return sum(of(seed).holds(truth) for seed in SEEDS)


def walk(chance: Stream, start: int, top: int, up: float) -> tuple[bool, int]:
    """A walk on 0 to `top` until an end: whether it ended at the top, and its steps."""
    at, steps = start, 0
    while 0 < at < top:
        at += 1 if chance.below(PARTS) < up * PARTS else -1
        steps += 1
    return at == top, steps


def walked(start: int, top: int, up: float) -> tuple[int, int]:
    """Seeds whose interval holds the closed form: of the chance of the top, of the mean number of steps."""
    r = (1 - up) / up
    reaches = start / top if up == 0.5 else (1 - r**start) / (1 - r**top)
    steps = start * (top - start) if up == 0.5 else (start - top * reaches) / (1 - 2 * up)
    runs = {}
    for seed in SEEDS:
        chance = Stream(seed, 3)
        runs[seed] = [walk(chance, start, top, up) for _ in range(WALKS)]
    ends = held(lambda seed: intervals.share(sum(top for top, _ in runs[seed]), WALKS), reaches)
    return ends, held(lambda seed: intervals.mean([n for _, n in runs[seed]]), steps)


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_as_in_newcombes_table(count, of, low, high):
    """Newcombe, Statistics in Medicine 17 (1998), table I, method 3."""
    found = intervals.share(count, of)
    assert (found.low, found.high) == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


def test_a_share_of_more_than_all_is_refused():
    with pytest.raises(ValueError, match="21 of 20 is no share"):
        intervals.share(21, 20)


def test_bootstrap_as_by_scipy():
    stats = pytest.importorskip("scipy.stats")
    numpy = pytest.importorskip("numpy")
    chance = Stream(5, 1)
    values = [float(chance.below(1_000)) ** 2 for _ in range(120)]
    theirs = stats.bootstrap(
        (values,), numpy.mean, method="percentile", n_resamples=9_999, rng=numpy.random.default_rng(1)
    ).confidence_interval
    ours = intervals.resampled(values, resamples=9_999)
    width = theirs.high - theirs.low
    assert ours.value == pytest.approx(fmean(values))
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=0.05 * width)


def test_gamblers_ruin():
    assert min(walked(8, 20, 0.52)) >= LEAST


def test_drunkards_walk():
    assert min(walked(1, 4, 0.5)) >= LEAST


def test_tennis_from_deuce():
    assert min(walked(2, 4, 0.6)) >= LEAST


def test_a_wrong_closed_form_is_not_held():
    right, _ = walked(2, 4, 0.6)
    runs = {seed: Stream(seed, 3) for seed in SEEDS}
    ends = {seed: sum(walk(chance, 2, 4, 0.6)[0] for _ in range(CASES)) for seed, chance in runs.items()}
    assert held(lambda seed: intervals.share(ends[seed], CASES), 0.6) < LEAST <= right


def test_odds_of_the_games_wheel():
    def stops(seed: int) -> Interval:
        wheel = games.load("honey_flow").console(seed=seed).play.find("wheel")
        count = 0
        for _ in range(CASES):
            wheel.begin(0)
            count += wheel._target == 0
        return intervals.share(count, CASES)

    assert held(stops, QueensWheel.odds[1][0] / 100) >= LEAST


def test_odds_of_the_games_match():
    def matched(seed: int) -> Interval:
        match = games.load("honey_flow").console(seed=seed, settings={"match": 10}).play.find("match")
        return intervals.share(sum(match._draw(1 << 3) == 3 for _ in range(CASES)), CASES)

    assert held(matched, 0.1) >= LEAST


def test_a_replay_score_of_exponential_scores():
    """The score that 8 % of games reach is ln(1 / 0.08) times the mean."""

    def score(seed: int) -> Interval:
        chance = Stream(seed, 4)
        scores = (-math.log((chance.below(PARTS) + 0.5) / PARTS) for _ in range(500))
        return intervals.quantile(sorted(scores), 1 - 0.08)

    assert held(score, math.log(1 / 0.08)) >= LEAST


@pytest.mark.slow
def test_how_many_games_reach_a_score_of_slings():
    """One ball that a fifth of shots end: n slings or more with 0.8^n."""
    odds, least = (("left_sling", 80), ("drain", 20)), 5

    def reached(block: int) -> Interval:
        count = 0
        for number in range(20):
            job = Job("honey_flow", "regular", block * 20 + number, 1, {"ball_save": 0, "balls": 1}, False)
            one = play_one(job, odds=odds, kind=QuietGame)
            count += one.points.get("small.sling", 0) >= least * 110
        return intervals.share(count, 20)

    assert held(reached, 0.8**least) >= LEAST


def measured(seed: int, per_mille: int) -> Measured:
    """Games that are won with `per_mille`; the same seed draws the same numbers."""
    chance = Stream(seed, 5)
    blank = (0.0,) * (len(MEASURES) - 1)
    return Measured({game: (float(chance.below(1_000) < per_mille), *blank) for game in range(2_000)})


def test_a_planted_bias_of_two_per_cent_is_found():
    found = [comparison.compare(measured(seed, 500), measured(seed, 520))[0] for seed in SEEDS]
    assert all(one.is_sure for one in found)
    assert sum(one.difference.holds(0.02) for one in found) >= LEAST
    assert all(one.unpaired > 0.05 for one in found)  # with seeds of their own it would drown


def test_without_a_bias_none_is_found():
    assert not comparison.compare(measured(1, 500), measured(1, 500))[0].is_sure
    other = [comparison.compare(measured(seed, 500), measured(seed + 1_000, 500))[0] for seed in SEEDS]
    assert sum(one.is_sure for one in other) <= len(SEEDS) - LEAST


def test_games_of_other_seeds_are_not_paired():
    with pytest.raises(ValueError, match="paired by their seeds"):
        comparison.compare(measured(1, 500), Measured({7: (0.0,) * len(MEASURES)}))
