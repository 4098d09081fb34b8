"""High scores of Honey Flow: who enters a name, what moves down, and which letters there are."""

from game_rig import Played

from firmware.games.honey_flow import game

SETTINGS = {"ball_save": 0, "balls": 1, "consolation": 0, "replay_1": 0, "replay_2": 0, "match": 0}
PLACES = (4_000_000, 3_000_000, 2_000_000, 1_000_000)


def packed(letters):
    """Three letters as they are kept: A is 0, the blank 26."""
    n = 0
    for letter in letters:
        n = n * 32 + (26 if letter == " " else ord(letter) - 65)
    return n


def asked(points, players=1):
    """A game of such players that ended with so many points each; four others have the places."""
    machine = Played(game, SETTINGS).home().start(players)
    table = machine.play.find("high_scores")
    for i in range(4):
        table.scores[i].value = PLACES[i]
        table.names[i].value = packed("ABCD"[i] * 3)
    for player in range(players):
        if player:
            machine.serve()
        machine.launch("meadow.1")
        machine.play.find("end_bonus").cells.value = 0
        machine.play.score.scores[player] = points[player]
        machine.drain(5000 if player < players - 1 else 1500)
    return machine, table


def press(machine, *names):
    for name in names:
        machine.close(name, 250)
        machine.open(name, 250)


def kept(table):
    return [(table.scores[i].value, table.names[i].value) for i in range(4)]


def test_a_score_takes_the_place_of_the_first_that_it_is_above_and_the_others_move_down():
    for points, place in ((4_000_010, 0), (4_000_000, 1), (3_000_010, 1), (2_000_010, 2), (1_000_010, 3)):
        machine, table = asked((points,))
        assert machine.line(0) == "PLAYER 1  PLACE" + str(place + 1)
        press(machine, "start", "button.right", "start", "start")
        expected = [(PLACES[i], packed("ABCD"[i] * 3)) for i in range(4)]
        expected.insert(place, (points, packed("ABB")))
        assert kept(table) == expected[:4], points


def test_a_score_that_equals_the_last_place_takes_none():
    machine, table = asked((1_000_000,))
    assert machine.line(1) == "   GAME OVER    "
    assert kept(table)[3][0] == 1_000_000


def test_players_are_asked_one_after_the_other():
    machine, table = asked((3_500_000, 500, 2_500_000), 3)
    assert machine.line(0) == "PLAYER 1  PLACE2"
    press(machine, *["start"] * 3)
    assert machine.line(0) == "PLAYER 3  PLACE4"
    press(machine, *["start"] * 3)
    assert machine.line(1) == "   GAME OVER    "
    assert [points for points, _ in kept(table)] == [4_000_000, 3_500_000, 3_000_000, 2_500_000]


def test_letters_go_round_both_ways_and_each_begins_as_the_one_before():
    machine, table = asked((4_500_000,))
    assert machine.line(1) == "YOUR NAME  A--  "
    press(machine, "button.left")
    assert machine.line(1) == "YOUR NAME  _--  "
    press(machine, "button.left")
    assert machine.line(1) == "YOUR NAME  Z--  "
    press(machine, "button.right", "button.right", "button.right", "start")
    assert machine.line(1) == "YOUR NAME  BB-  "
    press(machine, "button.left", "button.left", "start")
    assert machine.line(1) == "YOUR NAME  B _  "
    press(machine, "button.right", "start")
    assert kept(table)[0] == (4_500_000, packed("B A"))


def test_without_a_button_a_name_is_taken_as_it_stands_after_thirty_seconds():
    machine, table = asked((4_500_000,))
    press(machine, "button.right")
    machine.wait(29_000)
    assert machine.line(0) == "PLAYER 1  PLACE1"
    machine.wait(1000)
    assert kept(table)[0] == (4_500_000, packed("BAA"))
