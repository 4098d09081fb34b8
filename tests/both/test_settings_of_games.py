"""Operator settings of every built-in game: their ranges, and what their own words say of them."""

from rule_sheets import table

from firmware.games.honey_flow import game as honey_flow
from firmware.games.kit_room import game as kit_room
from firmware.games.kite_day import game as kite_day
from firmware.play.switch_monitor import UNSEEN_BALLS

GAMES = (honey_flow, kit_room, kite_day)


def numbers_told(meaning):
    """The numbers that are explained: those that follow a punctuation mark, as in "0 no, 1 yes"."""
    words = meaning.split(" ")
    return [int(words[i]) for i in range(1, len(words)) if words[i].isdigit() and words[i - 1][-1] in ":,;"]


def test_a_setting_lies_in_its_range_and_its_words_name_the_ends():
    for game in GAMES:
        for name, usual, least, most, unit, meaning in game.SETTINGS:
            assert least <= usual <= most, (game.NAME, name)
            told = numbers_told(meaning)
            if unit == "choice":
                assert told == list(range(least, most + 1)), (game.NAME, name)
            elif unit == "yes":
                assert (least, most) == (0, 1), (game.NAME, name)
            elif told:
                assert told == [least] == [0], (game.NAME, name)


def test_settings_in_points_are_scores_that_can_be_reached():
    # Every score is a multiple of 10.
    for game in GAMES:
        points = [row for row in game.SETTINGS if row[4] == "points"]
        assert [row[0] for row in points if [n for n in row[1:4] if n % 10]] == [], game.NAME
    units = {row[0]: row[4] for row in honey_flow.SETTINGS}
    for title, preset in honey_flow.service()[5]:
        assert [name for name, value in preset if units[name] == "points" and value % 10] == [], title


OF_THE_GAME = ("balls", "replay_1", "replay_2", "extra_balls")  # each game has its own range of these


def test_a_setting_that_several_games_have_means_the_same_in_each():
    seen = {}
    for game in GAMES:
        for name, _usual, least, most, unit, meaning in game.SETTINGS:
            assert seen.setdefault(name, (unit, meaning)) == (unit, meaning), (game.NAME, name)
            if name not in OF_THE_GAME:
                assert seen.setdefault((name, "range"), (least, most)) == (least, most), (game.NAME, name)


def test_the_even_preset_is_what_settings_begin_with():
    rows = {row[0]: row for row in honey_flow.SETTINGS}
    presets = honey_flow.service()[5]
    assert [title for title, _ in presets] == ["ROOMY", "EVEN", "TIGHT"]
    for title, preset in presets:
        for name, value in preset:
            _, usual, least, most, _, _ = rows[name]
            assert least <= value <= most, (title, name)
            assert title != "EVEN" or value == usual, name


def test_a_game_without_the_setting_waits_for_an_unseen_switch_as_long_as_the_usual_setting():
    assert {row[0]: row for row in honey_flow.SETTINGS}["watch_balls"][1] == UNSEEN_BALLS


def number(text):
    return int(text.replace(",", ""))


def test_the_tables_of_the_rule_sheets_have_every_setting_with_its_range():
    for game, columns in ((honey_flow, 5), (kite_day, 3), (kit_room, 3)):
        rows = table(game.NAME, "setting")
        assert [row[0] for row in rows] == [row[0] for row in game.SETTINGS], game.NAME
        for i in range(len(rows)):
            row = rows[i]
            name, usual, least, most, unit, _meaning = game.SETTINGS[i]
            assert len(row) == columns, name
            assert number(row[columns // 2]) == usual, name
            ends, of = row[-1].split(" ")
            assert [number(end) for end in ends.split(chr(8211))] == [least, most], name
            assert of == unit, name


def test_the_presets_are_those_of_the_rule_sheet():
    rows = table("honey_flow", "setting")
    presets = dict(honey_flow.service()[5])
    for column, title in ((1, "ROOMY"), (2, "EVEN"), (3, "TIGHT")):
        told = [(row[0], number(row[column])) for row in rows if row[1]]
        assert sorted(told) == sorted(presets[title]), title
