"""What becomes of aimed shots: the normal distribution against published values, on invented maps."""

import re
from collections import Counter
from types import SimpleNamespace

import pytest

from hil import games
from hil.command import season_odds, season_player, season_timing, shot_file
from hil.command.season_game import Job, book_of, play_one
from hil.command.shot_file import Row
from simulator.aiming import NOTHING, WHOLE, Stretch, Timing, below, chances, weights
from simulator.met_shots import MetShots

SPREAD = 10.0


def stretch(from_ms, to_ms, shot, made=True, flipper="flipper.left", ball="slow", drops="up"):
    return Stretch(flipper, ball, drops, from_ms, to_ms, shot, made)


MAP = (
    stretch(0, 90, "orbit"),
    stretch(90, 110, "ramp"),
    stretch(110, 140, "ramp_short", made=False),
    stretch(140, 150, NOTHING, made=False),
    stretch(150, 400, "drain", made=False),
)


@pytest.mark.parametrize(("deviations", "part"), [(1, 0.6826894921), (2, 0.9544997361), (3, 0.9973002039)])
def test_the_part_within_so_many_deviations_is_the_published_one(deviations, part):
    """Abramowitz, Stegun, Handbook of Mathematical Functions, table 26.1: 2 P(x) − 1."""
    assert below(deviations) - below(-deviations) == pytest.approx(part, abs=1e-10)


def test_a_window_of_two_deviations_is_made_in_68_per_cent():
    """A window of ±1 σ about its middle; what lies beyond ±1 σ goes to the neighbours, half to each side."""
    found = chances(MAP, "ramp", SPREAD)
    assert found["ramp"] == pytest.approx(0.6826894921, abs=1e-9)
    assert found["orbit"] == pytest.approx((1 - 0.6826894921) / 2, abs=1e-9)
    assert found["ramp_short"] == pytest.approx(0.8413447461 - 0.5 - 0.6826894921 / 2 + below(4) - below(1))
    assert sum(found.values()) == pytest.approx(1)


def test_a_wider_spread_lowers_every_chance():
    for shot in ("orbit", "ramp"):
        made = [chances(MAP, shot, spread)[shot] for spread in (8, 12, 30, 80, 200)]
        assert made == sorted(made, reverse=True)
        assert len(set(made)) == len(made)


def test_a_flip_outside_of_all_timings_is_like_the_nearest():
    found = chances(MAP, "orbit", 1_000.0)
    assert found["orbit"] == pytest.approx(below(0.045))
    assert found["drain"] == pytest.approx(1 - below(0.105))


def test_timings_that_the_map_lacks_meet_nothing():
    gap = (stretch(0, 10, "ramp"), stretch(20, 30, "orbit"))
    assert chances(gap, "ramp", SPREAD)[NOTHING] == pytest.approx(below(1.5) - below(0.5))


def test_the_better_flipper_is_taken_and_each_kind_of_ball_counts_alike():
    wide = stretch(500, 540, "ramp", flipper="flipper.right")
    quick = stretch(50, 60, "ramp", ball="from an inlane"), stretch(60, 90, "orbit", ball="from an inlane")
    slow = below(2.0) - below(-2.0)
    assert chances((*MAP, wide), "ramp", SPREAD)["ramp"] == 1
    both = (*MAP, stretch(480, 500, "orbit", flipper="flipper.right"), wide)
    both = (*both, stretch(540, 600, "orbit", flipper="flipper.right"), *quick)
    assert chances(both, "ramp", SPREAD)["ramp"] == pytest.approx((slow + below(0.5)) / 2)


def test_nobody_makes_a_shot_that_no_flipper_has():
    assert chances(MAP, "cell", SPREAD) == {}
    assert chances(MAP, "ramp_short", SPREAD) == {}


def test_weights_are_nearest_to_the_shares_and_always_as_many():
    assert weights({"a": 1, "b": 1, "c": 1}) == (("a", 3334), ("b", 3333), ("c", 3333))
    assert weights({}) == ()


def test_odds_of_what_is_aimed_at_become_odds_of_what_is_made():
    """Half aim at the ramp, a quarter drains, a quarter hits what the map lacks; nobody aims at a miss."""
    odds = (("ramp", 200), ("drain", 100), ("sling", 100), ("ramp_short", 500))
    made = dict(Timing(MAP, SPREAD).missed(odds, ("drain",)))
    assert sum(made.values()) == WHOLE
    assert made["ramp"] == pytest.approx(5_000 * 0.6826894921, abs=2)
    assert made["drain"] == pytest.approx(2_500, abs=2)
    assert made["sling"] == 2_500
    assert made["ramp_short"] == pytest.approx(5_000 * (below(4) - below(1)), abs=2)


def test_a_ball_at_rest_is_shot_with_half_the_spread():
    timing = Timing(MAP, SPREAD)
    assert dict(timing.odds("ramp", True))["ramp"] == pytest.approx(WHOLE * 0.9544997361, abs=1)
    assert timing.odds("cell") == ()


def test_what_a_ball_meets_first_says_which_shot_it_is():
    ways = {"ramp_left": ["ramp_left.enter", "ramp_left.made"]}
    met = MetShots(book_of("honey_flow"), ways)
    seen = {"frame.2": "frame_2", "orbit.left": "left_orbit", "keeper": "cell", "queen_cell": "cell"}
    seen |= {"hive.2": "hive", "meadow.1": "meadow_1", "inlane.left": "left_inlane", "ramp_left": "left_ramp"}
    assert {name: met.made(name) for name in seen} == seen
    assert met.rolled_back("ramp_left") == "left_ramp_short"
    assert met.made("start") == ""
    assert met.made("") == "", "a slot without a switch is met by nobody"


# On the demo, from files


def row(shot, from_ms, to_ms, result="made", game="honey_flow", drawing=""):
    mark = drawing or shot_file.drawing_mark(games.load("honey_flow"))
    return Row(game, mark, 6.5, "flipper.left", "slow", "up", from_ms, to_ms, shot, shot, result, 0.0)


ROWS = (
    row("left_orbit", 0, 80),
    row("right_ramp", 80, 100),
    row("right_ramp_short", 100, 200, "rolled back"),
)


def write(folder, *rows):
    path = folder / "shots.csv"
    shot_file.write(list(rows), path)
    return path


def read(path):
    game = games.load("honey_flow")
    return shot_file.read(str(path), game, season_player.shots_of(game))


def test_a_map_is_read_as_it_was_written(tmp_path):
    found = read(write(tmp_path, *ROWS))
    assert [one.shot for one in found] == ["left_orbit", "right_ramp", "right_ramp_short"]
    assert [(one.from_ms, one.to_ms, one.is_made) for one in found] == [
        (0, 80, True),
        (80, 100, True),
        (100, 200, False),
    ]


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        (
            (row("drain", 0, 5, game="kite_day"),),
            "the map of shots is of the game 'kite_day', not of honey_flow",
        ),
        ((row("drain", 0, 5, drawing="0"),), "the drawing of honey_flow was changed since this map of shots"),
        ((), "the map of shots has no line; make it again: inlane measure shots honey_flow --csv"),
        ((row("left_orbi", 0, 5),), "the game has no shot 'left_orbi'; did you mean 'left_orbit'?"),
        ((row("drain", 5, 5),), "to_ms is 5, and must be more than from_ms, 5"),
        ((row("drain", "soon", 5),), "from_ms takes milliseconds from 0 up, not 'soon'"),
        ((row("drain", 0, "nan"),), "to_ms takes milliseconds from 0 up, not 'nan'"),
    ],
)
def test_a_wrong_map_is_refused_in_one_sentence(tmp_path, rows, sentence):
    with pytest.raises(shot_file.UsageError, match=re.escape(sentence)) as refused:
        read(write(tmp_path, *rows))
    assert "shots.csv" in refused.value.where


def test_a_file_that_is_no_map_is_refused(tmp_path):
    path = tmp_path / "shots.csv"
    with pytest.raises(shot_file.UsageError, match="cannot be read"):
        read(path)
    path.write_text("a,b\n1,2\n", encoding="utf-8")
    with pytest.raises(shot_file.UsageError, match="this is no map of shots: its first line is game,drawing"):
        read(path)
    write(tmp_path, *ROWS)
    path.write_text(path.read_text(encoding="utf-8") + "honey_flow,1\n", encoding="utf-8")
    with pytest.raises(shot_file.UsageError, match="a line has 12 fields") as refused:
        read(path)
    assert refused.value.where.endswith("shots.csv:5")


@pytest.mark.parametrize("skill", ["regular", "expert"])
def test_a_wide_spread_makes_fewer_ramps(tmp_path, skill):
    """Of 400 shots, all aimed at the right ramp: what is made follows the map."""
    game, path = games.load("honey_flow"), str(write(tmp_path, *ROWS))
    lamps = {aim.lamp: 1 for aim in season_player.sight(game).aims if aim.while_dark}
    made = []
    for spread_ms in (4.0, 40.0):
        timing = season_timing.timing_of(game, skill, path, spread_ms)
        odds = (("right_ramp", 1),) if skill == "regular" else ()
        hand = season_player.player_of(game, skill, 1, odds=odds, timing=timing)
        shots: Counter[str] = Counter()
        for _ in range(400):
            hand.look(lamps | {"ladder": 3}, 0)
            shots[hand.choose_shot()] += 1
        made.append(shots["right_ramp"])
    assert made[0] > 300
    assert made[0] > 2 * made[1] > 0


def test_a_game_of_a_season_is_played_by_a_map(tmp_path):
    job = Job("honey_flow", "keen", 3, 1, {}, False, shot_map=str(write(tmp_path, *ROWS)), spread_ms=8.0)
    played = play_one(job)
    assert played.findings == []
    assert played.digest == play_one(job).digest != play_one(job._replace(spread_ms=40.0)).digest
    assert played.shots["right_ramp_short"] > 0


def test_each_skill_has_its_own_spread(tmp_path):
    game, path = games.load("honey_flow"), str(write(tmp_path, *ROWS))
    made = [
        dict(season_timing.timing_of(game, skill, path, 0).odds("right_ramp"))["right_ramp"]
        for skill in ("new", "regular", "keen", "expert")
    ]
    assert made == sorted(made)
    with pytest.raises(season_timing.GameError, match="the skill 'other' has no spread; give --spread"):
        season_timing.timing_of(game, "other", path, 0)


@pytest.mark.parametrize(
    ("spreads", "sentence"),
    [
        ([], "SPREADS is a tuple of skills with milliseconds"),
        ((("regular",),), "SPREADS, row 1 is a skill and 1 to 500 milliseconds, not ('regular',)"),
        ((("regular", 0),), "SPREADS, row 1 is a skill and 1 to 500 milliseconds, not ('regular', 0)"),
        (
            (("regula", 9),),
            "SPREADS has the skill 'regula', which SHOT_ODDS has not; did you mean 'regular'?",
        ),
    ],
)
def test_wrong_spreads_of_a_game_are_refused(spreads, sentence):
    season = SimpleNamespace(SHOT_ODDS=(("regular", (("drain", 10),)),), SPREADS=spreads)
    found = list(season_odds.refusals(season, book_of("honey_flow")))
    assert len(found) == 1
    assert found[0].startswith(sentence)
    with pytest.raises(season_timing.GameError, match=re.escape(sentence)):
        season_odds.spreads(season)
