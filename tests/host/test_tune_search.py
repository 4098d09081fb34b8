"""A search over several settings: planted optima, seeds, and how sure the answer is."""

import importlib.util
import json
from types import SimpleNamespace

import pytest
from typer.testing import CliRunner

from firmware.base.errors import UsageError
from hil import games
from hil.command import app, tuning_aim, tuning_questions, tuning_search
from hil.command.tuning_games import Plan, Played
from hil.game_tables import SettingRow
from hil.season import search
from hil.season.aggregate import Aggregate
from hil.season.measures import NAMES, Goal, Measured, measure_of
from hil.season.search import Try

needs_optuna = pytest.mark.skipif(
    importlib.util.find_spec("optuna") is None, reason="optuna is not installed (pip install 'inlane[tune]')"
)
ROWS = [
    SettingRow("saves", 2, 0, 10, "s", "planted"),
    SettingRow("turns", 5, 0, 10, "turns", "planted"),
]
BALL = Goal(measure_of("ball"), 40.0)
GAME = Goal(measure_of("game"), 4.0)
PLAN = Plan("planted", "steady", 1, 60)


def noise(seed: int) -> float:
    return (seed * 7_919 % 101 - 50) / 50


def player(ball, game):
    """Plays no game: the measures are functions of the settings, and of the seed as chance is."""
    plans = []

    def play(plan: Plan) -> Played:
        plans.append(plan)
        values, measured = dict(plan.settings), Measured()
        for seed in range(plan.seed, plan.seed + plan.games):
            figures = dict.fromkeys(NAMES, 0.0)
            figures["ball"] = ball(**values) + noise(seed)
            figures["game"] = game(**values) + noise(seed) / 10
            measured.by_seed[seed] = tuple(figures.values())
        return Played(plan, Aggregate(), measured)

    return play, plans


def planted(tries: int = 80, seed: int = 1, goals=(BALL, GAME), rows=ROWS):
    """Wanted are 40 s a ball and 4 minutes a game: that is so for saves 7, turns 3 alone."""
    play, plans = player(
        ball=lambda saves, turns: 40 + 2 * (saves - 7) + (turns - 3),
        game=lambda saves, turns: 4 + 0.2 * (saves - 7) - 0.3 * (turns - 3),
    )
    return tuning_search.answer(PLAN._replace(seed=seed), rows, goals, tries, play), plans


@needs_optuna
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_planted_optimum_is_found(seed):
    answer, _ = planted(seed=seed)
    best = answer.records[0]
    assert (best["saves"], best["turns"]) == (7, 3)
    assert best["ball low"] < 40 < best["ball high"]
    assert best["nearest"] > 0.9
    assert answer.sentences[0].startswith("saves 7, turns 3 gives ball 40.")
    assert (
        answer.sentences[1]
        == "With other games the nearest would have been in (95 %): saves 7 to 7, turns 3 to 3."
    )


@needs_optuna
def test_the_same_seed_gives_the_same_search():
    first, plans = planted(20)
    second, again = planted(20)
    assert plans == again
    assert (first.records, first.sentences) == (second.records, second.sentences)
    assert planted(20, seed=9)[1] != plans


@needs_optuna
def test_each_try_has_the_same_seeds_and_the_nearest_are_played_with_others():
    _, plans = planted(25)
    tried, again = plans[: -tuning_search.SHOWN], plans[-tuning_search.SHOWN :]
    assert {plan.seed for plan in tried} == {1}
    assert {plan.seed for plan in again} == {1 + PLAN.games}
    assert dict(tried[0].settings) == {"saves": 2, "turns": 5}  # the usual values come first
    assert len({plan.settings for plan in tried}) == len(tried) <= 25


@needs_optuna
def test_one_goal_of_two_settings_is_met_along_a_line_and_that_is_said():
    """40 s a ball: 2 * saves + turns = 17."""
    answer, _ = planted(goals=(BALL,))
    for one in answer.records[:2]:
        assert 2 * one["saves"] + one["turns"] == 17
    spans = answer.sentences[1]
    assert "saves 7 to 7, turns 3 to 3" not in spans


@needs_optuna
def test_what_cannot_be_reached_is_said():
    answer, _ = planted(goals=(Goal(measure_of("ball"), 400.0),))
    assert answer.sentences[1].startswith("What is wanted lies outside of these 95 % intervals")
    assert (answer.records[0]["saves"], answer.records[0]["turns"]) == (10, 10)


@needs_optuna
def test_a_wide_setting_is_tried_within_its_limits():
    row = SettingRow("replay", 1_000_000, 1_000, 100_000_000, "points", "planted")
    play, plans = player(ball=lambda saves, replay: replay / 1e6, game=lambda saves, replay: 4.0)
    tuning_search.answer(PLAN, [ROWS[0], row], (BALL,), 30, play)
    values = [dict(plan.settings)["replay"] for plan in plans]
    assert all(row.least <= value <= row.most for value in values)
    assert values[0] == 1_000 + 999_990  # of a hundred values the one that is next to the usual one


def test_without_optuna_the_reason_is_said(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "optuna", None)
    with pytest.raises(UsageError, match=r"needs optuna: pip install 'inlane\[tune\]'"):
        planted()


def tries(*means: float, spread: float) -> list[Try]:
    """Tries whose games differ by a chance of their own."""
    return [
        Try((("saves", at),), ([mean + spread * noise(seed * (at + 3)) for seed in range(200)],))
        for at, mean in enumerate(means)
    ]


def test_what_can_be_told_apart_is_nearest_in_every_resample():
    found = search.ranked((BALL,), tries(30, 40, 60, spread=1))
    assert [one.tried.settings[0][1] for one in found] == [1, 0, 2]
    assert [one.nearest for one in found] == [1, 0, 0]
    assert search.reach(found, "saves") == (1, 1)


def test_what_cannot_be_told_apart_shares_the_resamples():
    """Means of 200 games with a standard deviation of 17 s are known to some 1.2 s."""
    found = search.ranked((BALL,), tries(40, 40.1, 60, spread=30))
    by_setting = {one.tried.settings[0][1]: one.nearest for one in found}
    assert 0.2 < by_setting[0] < 0.8
    assert by_setting[0] + by_setting[1] == pytest.approx(1)
    assert search.reach(found, "saves") == (0, 1)


def test_a_setting_without_effect_shares_the_resamples():
    one = tries(40, spread=1)[0]
    found = search.ranked((BALL,), [one, one._replace(settings=(("saves", 9),))])
    assert [each.nearest for each in found] == [0.5, 0.5]
    assert search.reach(found, "saves") == (0, 9)


def test_distances_of_several_goals_add_as_squares():
    assert search.distance((BALL, GAME), (44.0, 4.0)) == pytest.approx(0.1)
    assert search.distance((BALL, GAME), (44.0, 4.4)) == pytest.approx(0.1 * 2**0.5)


def test_many_games_are_resampled_in_groups_of_the_same_mean():
    values = [float(seed) for seed in range(1_000)]
    grouped = search._grouped(values)
    assert len(grouped) == search.GROUPS
    assert sum(grouped) / len(grouped) == pytest.approx(sum(values) / len(values))


def test_settings_with_and_without_limits():
    rows = tuning_questions.sought(games.load("honey_flow"), "ball_save, replay_1=500000..900000")
    assert [(row.name, row.least, row.most) for row in rows] == [
        ("ball_save", 0, 20),
        ("replay_1", 500_000, 900_000),
    ]


def refused(*arguments: str) -> str:
    ran = CliRunner().invoke(app, ["tune", "honey_flow", *arguments])
    assert isinstance(ran.exception, UsageError), ran.output
    return str(ran.exception)


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ("ball_save,ball_sav", "there is no setting 'ball_sav'"),
        ("ball_save,ball_save", "--by has 'ball_save' twice"),
        ("ball_save=3,balls", "--by takes NAME or NAME=LOW..HIGH"),
        ("ball_save=3..30,balls", "'ball_save' takes 0 to 20, the low end first"),
    ],
)
def test_wrong_settings_are_refused(by, words):
    assert words in refused("--aim", "ball 30", "--by", by)


def test_each_of_several_goals_is_checked():
    assert "did you mean 'game'" in refused("--aim", "ball 30 and gam 3", "--by", "ball_save")


def test_one_goal_and_one_setting_are_no_search_of_several(monkeypatch):
    asked = []
    monkeypatch.setattr(tuning_aim, "_sought", lambda plan, row, wanted, play: asked.append(row))
    tuning_aim.answer(Plan("honey_flow", "steady", 1, 4), "ball 30", "ball_save=2..9", 5, SimpleNamespace())
    assert [(row.name, row.least, row.most) for row in asked] == [("ball_save", 2, 9)]


@needs_optuna
@pytest.mark.slow
def test_the_command_searches_a_game(tmp_path):
    page = tmp_path / "search.html"
    arguments = ["kit_room", "--games", "6", "--aim", "ball 20 and game 2", "--by", "balls,ball_save"]
    options = ["--tries", "6", "--workers", "1", "--json", "--page", str(page)]
    ran = CliRunner().invoke(app, ["tune", *arguments, *options])
    assert ran.exit_code == 0, (ran.output, ran.exception)
    plain = json.loads(ran.stdout)
    assert {"balls", "ball_save", "ball", "ball low", "distance", "nearest"} <= plain["figures"][0].keys()
    assert page.read_text(encoding="utf-8").count("<svg") == 1
