"""A saucer that ejects each ball: it is not reported, however many balls come."""

from game_rig import Played

from firmware.games.kite_day import game


def test_six_balls_that_leave_the_updraft_are_no_fault():
    machine = Played(game, {"free_play": 1})
    machine.close("outhole", 1500)
    machine.close("start", 100)
    machine.open("start", 1000)
    machine.open("outhole", 300)
    machine.close("lane", 500)
    machine.open("lane", 500)
    for ball in range(1, 7):
        machine.close("updraft", 1000)
        machine.open("updraft", 1500)
        ejects = [name for _, name, _ in machine.coils if name == "updraft_eject"]
        assert (len(ejects), machine.play.faults.count) == (ball, 0)
