"""Players that look: they aim at what is lit, miss by their spread, and hold and nudge."""

from collections import Counter
from itertools import pairwise

import pytest

from hil import games
from hil.bench.quiet import QuietGame
from hil.command import season_player
from hil.command.season_game import Job, play_one
from simulator.seeing_player import FAST, SeeingPlayer
from simulator.skill import NAMES, SKILLS, Skill, skill_of

SURE = Skill("sure", 100, 1, 1, 0, 0, 0, 0, True, True, 60)
DRAWS = 400


def player(skill: Skill) -> SeeingPlayer:
    return SeeingPlayer(skill, season_player.sight(games.load("honey_flow")), 1)


def shots(skill: Skill, lamps: dict[str, int]) -> Counter[str]:
    hand, found = player(skill), Counter()
    for number in range(DRAWS):
        hand.look(lamps, number * 1_000)
        found[hand.choose_shot()] += 1
    return found


def all_lit() -> dict[str, int]:
    """Every bank's lamps lit, so that no target asks."""
    return {aim.lamp: 1 for aim in season_player.sight(games.load("honey_flow")).aims if aim.while_dark}


def test_a_lit_lamp_is_aimed_at():
    assert shots(SURE, all_lit() | {"lock": 2}) == {"hive": DRAWS}


def test_a_bank_asks_while_its_lamp_is_dark():
    assert set(shots(SURE, {**all_lit(), "frame.2": 0})) == {"frame_2"}


def test_without_a_lit_lamp_balls_go_anywhere():
    assert len(shots(SURE, all_lit())) > 10


def test_what_blinks_fast_comes_first():
    assert set(shots(SURE, all_lit() | {"orbit_left": 1, "ladder": FAST})) == {"right_ramp"}


def test_a_wider_spread_misses_more():
    lamps = all_lit() | {"lock": 2}
    made = [shots(SURE._replace(spread=spread), lamps)["hive"] for spread in (20, 60, 120)]
    assert made[0] > made[1] > made[2] > 0


def test_a_nudge_saves_balls_from_the_outlanes():
    lamps = {**all_lit(), "lock": 2}
    lost = [
        sum(
            shots(SURE._replace(sides=200, nudges=nudges), lamps)[side]
            for side in ("left_outlane", "right_outlane")
        )
        for nudges in (0, 50)
    ]
    assert lost[0] > 1.5 * lost[1] > 0


def test_a_ball_is_held_while_another_moves_and_not_for_ever():
    hand = player(SURE)
    held = [hand.choose_balls(1, 1) for _ in range(8)]
    assert held[0] == 0
    assert 1 in held


def test_balls_are_played_one_by_one_by_who_plans():
    assert player(SURE).choose_balls(3, 0) == 1
    assert player(SURE._replace(plans=False)).choose_balls(3, 0) == 3


def test_skills_rise():
    for one, other in pairwise(SKILLS):
        assert (one.looks, -one.spread, one.ball_s) < (other.looks, -other.spread, other.ball_s)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES[:3])
def test_ball_times_are_as_aimed(name):
    """Within a quarter, of 60 games: a mean ball time varies by some 8 % of itself."""
    played = [play_one(Job("honey_flow", name, seed, 1, {}, False), kind=QuietGame) for seed in range(1, 61)]
    times = [ms for one in played for ms in one.ball_ms]
    assert sum(times) / len(times) / 1_000 == pytest.approx(skill_of(name).ball_s, rel=0.25)


def test_a_game_with_records_is_the_same_game():
    job = Job("kit_room", "league", 4, 1, {}, False)
    whole, quiet = play_one(job), play_one(job, kind=QuietGame)
    assert whole.findings == []
    assert (whole.scores, whole.ms, whole.shots) == (quiet.scores, quiet.ms, quiet.shots)
