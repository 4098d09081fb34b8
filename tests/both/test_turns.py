"""Players' turns in Honey Flow: lamps and values are the next player's before the ball is there."""

from game_rig import Played

from firmware.games.honey_flow import game

SETTINGS = {"ball_save": 0, "consolation": 0, "replay_1": 0, "replay_2": 0, "plunge_after": 0}
OWN = ("times.2", "bee.1", "smoker.1", "frame.2", "lock")


def lit(machine):
    return [machine.shown(name) for name in OWN]


def test_lamps_are_the_next_player_s_from_the_beginning_of_the_turn():
    machine = Played(game, SETTINGS).home().start(2).launch("smoker.1")
    machine.tap("bee.1", "bee.2", "bee.3", "frame.2")
    machine.wait(2500)
    first = lit(machine)
    assert [pattern > 0 for pattern in first] == [True, False, True, True, False]
    machine.contact("trough.3", 1)
    ms = 0
    while machine.play.score.player == 0:
        assert ms < 8000
        machine.wait(1)
        ms += 1
    machine.wait(1)
    assert not machine.play.live
    assert lit(machine) == [0] * len(OWN)
    machine.serve()
    machine.launch("meadow.1")
    machine.tap("frame.1")
    machine.contact("trough.3", 1)
    while machine.play.score.player == 1:
        machine.wait(1)
    machine.wait(1)
    assert not machine.play.live
    assert lit(machine) == first
    assert machine.play.ball == 2
