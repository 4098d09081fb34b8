"""What coils do on a table where balls roll: bats, bumpers, slings, gates, and only by their COIL records."""

import math

import pytest

from simulator.drawing.geometry import rotation
from simulator.drawing.parts import Part
from simulator.drawing.pieces import Bat
from simulator.routes import FlipperRow
from simulator.table.bat import SwingingBat
from simulator.table.layout import Stuff
from simulator.table.materials import RADIUS
from simulator.table.shapes import Piece

ROW = FlipperRow("strong", "hold", "stroke", 18, 25)
PIVOT, TIP = (0.0, 0.0), (65.0, 38.0)
UP = rotation(-50, *PIVOT).point(*TIP)
BAT = Bat("flipper", "strong", "hold", Part((), None), PIVOT, TIP, UP)


def swing(bat, until_ms, at_ms=0):
    for ms in range(at_ms, until_ms):
        bat.step(ms + 1)
        bat.step(ms + 1)


@pytest.fixture
def bat():
    return SwingingBat(BAT, ROW)


def test_the_strong_winding_brings_the_bat_up_in_its_time_and_its_stroke_contact_closes(bat):
    bat.coil("strong", 40, 0)
    swing(bat, 16)
    assert 0.5 < bat.swung < 1
    assert not bat.is_up
    swing(bat, 19, 16)
    assert bat.swung == 1
    assert bat.is_up
    assert bat.tip == pytest.approx(UP)


def test_a_refused_pulse_moves_nothing(bat):
    bat.coil("other", 40, 0)
    bat.coil("strong", 0, 0)
    swing(bat, 50)
    assert bat.swung == 0
    assert not bat.is_moving(50)


def test_the_hold_winding_holds_it_and_does_not_raise_it(bat):
    bat.coil("hold", -1, 0)
    swing(bat, 100)
    assert bat.swung == 0
    bat.coil("strong", 40, 100)
    swing(bat, 400, 100)
    assert bat.is_up
    bat.coil("hold", 0, 400)
    swing(bat, 424, 400)
    assert 0 < bat.swung < 0.3
    swing(bat, 430, 424)
    assert bat.swung == 0


def test_a_cut_pulse_lets_the_bat_fall_before_it_is_up(bat):
    bat.coil("strong", 40, 0)
    swing(bat, 10)
    bat.coil("strong", 0, 10)
    swing(bat, 60, 10)
    assert bat.swung == 0


def test_a_bat_throws_a_ball_that_rests_on_it_and_holds_one_when_it_is_held(bench):
    table = bench(bats=[(BAT, ROW)])
    u, v = math.cos(table.field.bats[0].rest_angle), math.sin(table.field.bats[0].rest_angle)
    ball = table.roll(45 * u + v * (RADIUS + 10), 45 * v - u * (RADIUS + 10))
    table.field.bats[0].coil("strong", 40, 0)
    table.run(30)
    assert 1500 < ball.speed < 8000
    assert ball.velocity[1] < 0


@pytest.mark.parametrize(("speed", "passes"), [(-800, True), (800, False)])
def test_a_gate_lets_balls_through_to_its_open_side_only(bench, speed, passes):
    """Its open side is the left of the line as it is drawn; here that is away from the player."""
    table = bench(gates=[Piece((-50.0, 0.0), (50.0, 0.0), 1.0)])
    ball = table.roll(0, math.copysign(100, -speed), 0, speed)
    table.run(220)
    assert (ball.place[1] < -30) == (passes or speed > 0)
    if not passes:
        assert ball.place[1] < 0


def test_a_wall_and_what_a_ball_rolls_off_leave_no_ball_hanging_in_the_air(bench):
    table = bench(walls=[(Piece((-80.0, 0.0), (80.0, 30.0), 2.5), Stuff(0.45, 0.15))])
    ball = table.roll(-40, -60)
    table.run(3000)
    assert ball.place[1] > 300
