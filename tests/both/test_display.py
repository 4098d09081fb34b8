"""What Honey Flow's two lines show, cell by cell, as the table of its rule sheet draws it."""

from game_rig import Played
from rule_sheets import table

from firmware.games.honey_flow import game
from firmware.play.pages import REPORT

BLANK = chr(183)
SHEET = {
    row[0]: [row[1].replace(BLANK, " "), row[2].replace(BLANK, " ")] for row in table("honey_flow", "page")
}
SHORT = {
    "ball_save": 0,
    "balls": 1,
    "consolation": 0,
    "match": 0,
    "nectar_turns": 20,
    "replay_1": 0,
    "replay_2": 0,
}


def lines(machine):
    return [machine.line(0), machine.line(1)]


def played(players=1, **settings):
    """A ball in play that has hit one bumper."""
    given = dict(SHORT)
    given.update(settings)
    return Played(game, given).home().start(players).launch("meadow.1")


def over(points, **settings):
    """A game of one player that ends with so many points before the last bumper and the bonus."""
    machine = played(**settings)
    machine.play.score.scores[0] = points
    machine.drain(1000)
    machine.wait(1000)
    return machine


def test_the_title_says_how_a_game_is_had():
    assert lines(Played(game)) == SHEET["title, free play"]
    machine = Played(game, {"free_play": 0})
    assert lines(machine) == SHEET["title, no credit"]
    machine.close("coin.1", 50)
    machine.open("coin.1")
    machine.wait(2500)
    assert lines(machine) == SHEET["title, a credit"]


def test_best_scores_take_turns_with_the_title_four_seconds_each():
    machine = Played(game).home()
    seen = []
    for _ in range(14):
        seen.append(lines(machine))
        machine.wait(2000)
    title = SHEET["title, free play"]
    assert seen[:3] == [title] * 3
    first = next(i for i in range(14) if seen[i] != title)
    places = seen[first : first + 8]
    assert places[2] == places[3] == SHEET["best scores, second"]
    assert [page[0][0] for page in places] == ["1", "1", "2", "2", "3", "3", "4", "4"]
    assert [page[0][1:] for page in places[::2]] == [
        " AAA    2,000,000",
        " AAA    1,500,000",
        " AAA    1,000,000",
        " AAA     500,000",
    ]


def test_after_a_game_its_scores_take_their_turn_before_the_best_ones():
    machine = over(1_000, match=0)
    machine.wait(2000)
    seen = []
    for _ in range(12):
        if lines(machine) not in seen:
            seen.append(lines(machine))
        machine.wait(2000)
    press = SHEET["title, free play"][1]
    assert seen[0] == ["    2,000        ", press]
    assert [page[0][0] for page in seen[1:5]] == ["1", "2", "3", "4"]
    assert seen[5:] == [SHEET["title, free play"]]


def test_scores_stand_in_pairs_and_the_turn_below():
    assert lines(played()) == SHEET["a player alone"]
    machine = played(2)
    assert lines(machine) == SHEET["two players"]
    machine.drain(6000)
    machine.serve()
    machine.launch("meadow.2", "meadow.2")
    assert lines(machine) == SHEET["the second of two"]


def test_of_a_longer_score_the_last_eight_digits_are_shown_and_the_insert_is_lit():
    machine = played()
    machine.play.score.scores[0] = 99_999_490 - 10
    machine.tap("meadow.1")
    machine.wait(2500)
    assert (machine.line(0), machine.shown("rollover")) == ("99,999,980        ", 0)
    machine.play.score.scores[0] = 123_456_280
    machine.tap("meadow.1")
    machine.wait(2500)
    assert lines(machine) == SHEET["above 99,999,990"]
    assert machine.shown("rollover") == 1


def test_an_award_is_news_for_two_seconds():
    machine = played()
    machine.tap("bee.1", "bee.2")
    before = lines(machine)
    machine.close("bee.3")
    assert lines(machine) == SHEET["an award"]
    machine.wait(1890)
    assert lines(machine) == SHEET["an award"]
    machine.wait(110)
    assert machine.line(1) == before[1]


def test_nectar_flow_shows_its_time_beside_the_score():
    machine = played()
    machine.tap(*["spinner"] * 20)
    machine.close("orbit.left")
    assert lines(machine) == SHEET["Nectar Flow"]
    machine.wait(16_000)
    assert lines(machine) == SHEET["its last seconds"]
    machine.wait(9200)
    assert machine.line(1) == SHEET["a player alone"][1]


def test_warnings_are_counted_down_and_a_tilt_is_said():
    machine = played()
    machine.close("tilt", 50)
    machine.open("tilt", 600)
    assert lines(machine) == SHEET["a warning"]
    machine.close("tilt", 50)
    machine.open("tilt", 600)
    machine.close("tilt", 50)
    assert lines(machine) == SHEET["tilt"]


REPORTS = (
    ("report: bonus", "end_bonus"),
    ("report: multiplier", "bee_lanes"),
    ("report: Nectar Flow", "nectar_flow"),
    ("report: pollen", "pollen_run"),
    ("report: ladder", "wax_ladder"),
    ("report: frames", "frames_bank"),
    ("report: dance", "waggle"),
    ("report: jar", "honey_jar"),
    ("report: hive", "hive_lock"),
)


def test_the_report_has_a_page_for_each_feature_with_a_state():
    machine = played()
    machine.tap("bee.1", "bee.2", "bee.3", "spinner")
    machine.play.find("end_bonus").cells.value = 11
    page = machine.play.pages.page(REPORT)
    for title, feature in REPORTS:
        assert machine.play.find(feature).report(page), title
        assert machine.page(page) == SHEET[title], title
    assert len([1 for feature in machine.play.features if feature.report(page)]) == len(REPORTS)


def test_the_report_says_that_nectar_flow_is_lit():
    machine = played()
    machine.tap(*["spinner"] * 20)
    page = machine.play.pages.page(REPORT)
    machine.play.find("nectar_flow").report(page)
    assert machine.page(page) == SHEET["report: Nectar Flow lit"]


def test_the_bonus_counts_cells_times_the_multiplier():
    machine = played()
    machine.tap("bee.1", "bee.2", "bee.3", "meadow.1")
    machine.contact("trough.3", 1)
    seen = []
    for _ in range(60):
        machine.wait(50)
        if lines(machine) not in seen:
            seen.append(lines(machine))
    assert SHEET["bonus"] in seen, seen


def test_the_match_and_the_end_of_the_game():
    machine = over(500, match=50)
    assert machine.line(0) == SHEET["match"][0]
    assert machine.line(1)[:7].strip() == machine.line(1)[9:].strip() == ""
    assert machine.line(1)[8] == "0" and machine.line(1)[7].isdigit()
    machine.wait(3000)
    assert lines(machine) == SHEET["game over"]


def test_a_name_is_chosen_letter_by_letter():
    machine = over(1_700_000)
    assert lines(machine) == SHEET["name"]
    machine.close("button.right")
    machine.open("button.right")
    machine.close("start", 250)
    machine.open("start", 250)
    for _ in range(2):
        machine.close("button.left")
        machine.open("button.left")
    assert lines(machine) == SHEET["name, a blank chosen"]


TESTED = ("title", "best", "a player", "two", "the second", "above", "an award", "Nectar", "its last") + (
    ("a warning", "tilt", "report", "bonus", "match", "game over", "name")
)


def test_each_page_of_the_table_belongs_to_a_test():
    assert len(SHEET) == 28
    assert [title for title in SHEET if not title.startswith(TESTED)] == []
