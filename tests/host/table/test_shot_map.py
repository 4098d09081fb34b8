"""Every shot of Honey Flow's rule sheet can be made from the flipper that the sheet names."""

import pytest

from hil import games
from hil.command import rolling
from hil.command.at_desk import DeskSetup
from hil.command.flights import Flights
from simulator.table.shot_map import BACK, MADE, fly

LEFT, RIGHT = "flipper.left", "flipper.right"
SHEET = {  # section 1 of the rule sheet: where shots go, and from which flipper
    "orbit.left": {RIGHT},
    "orbit.right": {LEFT},
    "ramp_left": {RIGHT},
    "ramp_right": {LEFT},
    **{f"smoker.{number}": {RIGHT} for number in (1, 2, 3)},
    **{f"frame.{number}": {LEFT} for number in (1, 2, 3, 4)},
    "keeper": {LEFT, RIGHT},
    "queen_cell": {LEFT, RIGHT},
    "hive.2": {RIGHT},
    "spot": {LEFT, RIGHT},
}


@pytest.fixture(scope="module")
def setup():
    return DeskSetup(games.load("honey_flow"))


@pytest.mark.slow
def test_each_shot_of_the_sheet_is_made_from_its_flipper(setup):
    flights = Flights(setup, 5, 6.5)
    made = {(flight.name, flight.flipper) for flight in flights.flown if flight.result == MADE}
    wanted = {(name, flipper) for name, flippers in SHEET.items() for flipper in flippers}
    assert wanted - made == set()
    assert {flight.name for flight in flights.flown if flight.result == BACK} <= {"ramp_left", "ramp_right"}
    assert flights.never_met() == []


def test_later_flips_shoot_across_to_the_other_side(setup):
    """The ball is nearer to the tip then, and the bat further up when it leaves."""
    flights = [fly(rolling.table_of(setup, 1), LEFT, "slow", 0.0, ms, False) for ms in (540, 600)]
    assert flights[0].angle < flights[1].angle
    assert all(len(flight.path) > 20 for flight in flights)


def test_a_flip_after_the_ball_is_gone_meets_nothing(setup):
    flight = fly(rolling.table_of(setup, 1), RIGHT, "from an inlane", 450.0, 900, False)
    assert flight.missed
    assert flight.contacts == []
