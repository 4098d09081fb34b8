"""`inlane tune`: figures, questions and the page, with few games of the small games."""

import csv
import io
import json
import re
import sys
from types import SimpleNamespace

import pytest
from typer.testing import CliRunner

from firmware.base.errors import GameError, UsageError
from hil import games
from hil.command import app, season_odds, season_player, tuning_aim, tuning_questions
from hil.command.season_game import book_of
from hil.command.tuning_aim import Goal, Search
from hil.season import answer, funnels
from hil.season.intervals import Interval
from hil.season.measures import measure_of

FEW = ("--games", "4")


def tune(*arguments: str) -> str:
    ran = CliRunner().invoke(app, ["tune", *arguments])
    assert ran.exit_code == 0, (ran.output, ran.exception)
    return ran.output


def refused(*arguments: str) -> str:
    ran = CliRunner().invoke(app, ["tune", *arguments])
    assert ran.exit_code != 0
    return str(ran.exception) if isinstance(ran.exception, (UsageError, GameError)) else ran.output


def test_figures_as_json_have_their_limits():
    plain = json.loads(tune("kit_room", *FEW, "--json"))
    by_name = {(figure["table"], figure["name"]): figure for figure in plain["figures"]}
    ball = by_name["time", "a ball"]
    assert ball["cases"] == 12
    assert ball["low"] < ball["value"] < ball["high"]
    shares = [figure["value"] for (table, _), figure in by_name.items() if table == "share"]
    assert sum(shares) == pytest.approx(1)


def test_figures_as_csv():
    rows = list(csv.DictReader(io.StringIO(tune("kit_room", *FEW, "--csv"))))
    assert {"score", "time", "share", "funnel", "drain"} <= {row["table"] for row in rows}


def test_what_is_never_paid_is_named():
    shown = " ".join(tune("honey_flow", *FEW, "--skill", "first_timer").split())
    assert re.search(r"Never paid: .*extra_ball\.lit_again", shown)
    assert re.search(r"Never seen: .*gold_cell: collected", shown)


def test_the_page_is_one_file_whose_plots_do_not_share_ids(tmp_path):
    page = tmp_path / "season.html"
    tune("kit_room", *FEW, "--page", str(page), "--story", "3")
    text = page.read_text(encoding="utf-8")
    assert text.count("<svg") == 6
    assert "One game: seed 3" in text
    assert not re.search(r'(src|href)="(http|/)', text)
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    used = set(re.findall(r'(?:href="#|url\(#)([^")]+)', text))
    assert used <= set(ids)


def test_a_sweep_is_paired_with_the_usual_value():
    """Kite Day is usually played with three balls."""
    plain = json.loads(tune("kite_day", *FEW, "--sweep", "balls=3..5/1", "--json"))
    found = {(figure["at"], figure["measure"]): figure for figure in plain["figures"]}
    assert found[3, "score"]["difference value"] == 0
    assert found[5, "game"]["after"] > found[3, "game"]["after"] == found[5, "game"]["before"]


def test_a_game_does_not_differ_from_itself():
    plain = json.loads(tune("kit_room", *FEW, "--against", "kit_room", "--json"))
    assert {figure["difference value"] for figure in plain["figures"]} == {0}


def test_two_versions_are_compared_in_pictures(tmp_path):
    page = tmp_path / "against.html"
    shown = tune("kit_room", *FEW, "--against", "kit_room", "--page", str(page))
    assert "Before: kit_room; after: kit_room." in shown
    assert "score, points" in shown
    assert page.read_text(encoding="utf-8").count("<svg") == 3


def test_a_replay_score_has_pictures_and_is_tried_on_other_games(tmp_path):
    page = tmp_path / "replays.html"
    arguments = ("--skill", "first_timer", "--set", "balls=1", "--games", "12", "--aim", "replays 20 %")
    plain = json.loads(tune("honey_flow", *arguments, "--json", "--page", str(page)))
    found, tried = plain["figures"]
    assert found["low"] <= found["value"] <= found["high"]
    assert 0 <= tried["low"] <= tried["value"] <= tried["high"] <= 1
    assert page.read_text(encoding="utf-8").count("<svg") == 2


def test_a_difference_of_nothing_has_no_sign():
    assert [answer.value_text(value, "s") for value in (-0.01, 0.01, -0.06)] == ["0.0", "0.0", "-0.1"]
    assert answer.value_text(-0.0001, "share") == "0.0%"


def test_a_game_without_odds_is_played_by_its_shots(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "path", list(sys.path))
    folder = tmp_path / "small_pond"
    made = CliRunner().invoke(app, ["new", str(folder), "--ramp", "--bank", "3"])
    assert made.exit_code == 0, made.output
    (folder / "host" / "season.py").unlink()
    plain = json.loads(tune(str(folder), *FEW, "--json", "--skill", "steady"))
    assert any(figure["table"] == "shot" and figure["cases"] for figure in plain["figures"])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--games", "-3"), "--games"),
        (("--skill", "expertt"), "did you mean 'expert'"),
        (("--sweep", "ball_sav=0..3"), "there is no setting 'ball_sav'"),
        (("--sweep", "balls=3"), "--sweep takes NAME=LOW..HIGH"),
        (("--sweep", "balls=3..1"), "the low end first"),
        (("--aim", "replay 8 %"), "did you mean 'replays'"),
        (("--aim", "replays many"), "a measure and a number"),
        (("--aim", "replays 8"), "replays is in %"),
        (("--aim", "ball 30"), "--aim needs --by NAME"),
        (("--aim", "ball 30", "--sweep", "balls=1..3"), "give one"),
        (("--set", "balls=x"), "--set takes NAME=VALUE"),
    ],
)
def test_what_cannot_be_asked_is_refused(arguments, words):
    assert words in refused("honey_flow", *arguments)


def searched(limit: int, wanted: float) -> Search:
    row = SimpleNamespace(name="save", least=0, most=limit)
    return Search(
        row, Goal(measure_of("ball"), wanted), lambda at: Interval(at * 2.0, at * 2.0 - 6, at * 2.0 + 6)
    )


def test_a_search_finds_the_value_and_its_limits():
    search = searched(1_000, 100)
    assert search.crossing("value") == 50
    assert (search.crossing("high"), search.crossing("low")) == (47, 53)
    assert len(search.known) < 40


def test_a_goal_out_of_reach_is_refused():
    with pytest.raises(UsageError, match=r"gives ball of 0\.0 to 20\.0 only"):
        searched(10, 100).require_reach()


def test_a_replay_score_is_a_quantile():
    found = tuning_aim.goal("replays 8%")
    assert (found.measure.name, found.value) == ("replays", 0.08)


def test_a_funnel_with_an_unknown_name_is_refused():
    names = tuning_questions.names_of("honey_flow")
    with pytest.raises(GameError, match="FUNNELS, row 1: nothing of the game is named 'waggle/redy'"):
        funnels.given((("waggle", "waggle/redy", "", "", ""),), names)


def test_an_aim_at_an_unknown_lamp_is_refused():
    tables = SimpleNamespace(AIMS=(("cel", "cell", 3),))
    game = games.load("honey_flow")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(season_player.season_odds, "tables", lambda game: tables)
        with pytest.raises(GameError, match=r"AIMS has the lamp 'cel'.*mean 'cell'"):
            season_player.aims_of(game)


@pytest.mark.parametrize(
    ("aims", "words"),
    [
        ([], "AIMS is a tuple of rows"),
        ((("cell", "cell"),), "AIMS, row 1 is a lamp, a shot and a worth"),
        ((("cell", "cel", 1),), "AIMS, row 1 has the shot 'cel'"),
    ],
)
def test_wrong_aims_are_refused(aims, words):
    odds = season_odds.tables(games.load("honey_flow")).SHOT_ODDS
    found = season_odds.refusals(SimpleNamespace(SHOT_ODDS=odds, AIMS=aims), book_of("honey_flow"))
    assert [text for text in found if words in text]
