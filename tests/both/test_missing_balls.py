"""A ball that the search gave up: who counts on it, and what happens when it comes home after all."""

from game_rig import Played

from firmware.games.honey_flow import game


def given_up():
    """A machine whose only ball in play was written off; the game goes on with the two others."""
    machine = Played(game, {"plunge_after": 0, "balls": 1}).home().start().launch("meadow.1")
    machine.wait(180_000)
    assert machine.play.faults.names == ["ball_missing"]
    return machine


def test_a_ball_is_given_up_once_and_a_game_can_be_had_with_the_others():
    machine = given_up()
    assert machine.play.missing == 1
    machine.wait(60_000)
    assert machine.play.missing == 1
    assert not machine.play.players or machine.line(1) == "  PRESS START   "
    machine.close("start", 250)
    machine.open("start", 2500)
    assert machine.coils[-1][1] == "trough_eject"


def test_a_ball_that_comes_home_is_missing_no_more():
    machine = given_up()
    machine.wait(60_000)
    machine.drain(2000)
    assert machine.play.missing == 0
    before = len(machine.coils)
    machine.open("trough.3", 2000)  # a hand takes it out: the game cannot be had without it
    machine.close("start", 250)
    machine.open("start", 2500)
    assert machine.coils[before:] == []


def test_two_balls_that_are_to_be_served_come_one_after_the_other():
    machine = Played(game).home().start().launch("meadow.1")
    trough = machine.play.find("trough")
    before = len(machine.coils)
    trough.serve(True)
    trough.serve(True)
    machine.tap("inlane.right")
    ejects = [name for _, name, _ in machine.coils[before:]]
    assert ejects == ["trough_eject"]
    machine.open("trough.2")
    machine.close("lane", 400)
    assert trough.to_serve() == 1
    machine.open("lane", 600)
    names = [name for _, name, _ in machine.coils[before:]]
    assert sorted(names) == ["auto_plunger", "trough_eject", "trough_eject"]
    machine.open("trough.1")
    machine.close("lane", 400)
    assert trough.to_serve() == 0
    assert [name for _, name, _ in machine.coils].count("auto_plunger") == 2
