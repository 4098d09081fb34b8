"""Every game's drawing as a table: nothing leaves it, nothing comes to rest on it, everything can be met."""

import math

import pytest

from hil import games
from hil.command import rolling
from hil.command.at_desk import DeskSetup
from simulator.table.drop_test import DropTable, DropTest
from simulator.table.reach import Reach
from simulator.table.way import Way

GAMES = ("honey_flow", "kit_room", "kite_day")


@pytest.fixture(scope="module", params=GAMES)
def setup(request):
    return DeskSetup(games.load(request.param))


@pytest.fixture(scope="module")
def places(setup):
    return Reach(rolling.table_of(setup, 1)).search().free


def test_its_drawing_lacks_nothing_that_balls_meet(setup):
    assert rolling.table_of(setup, 1).layout.remarks == []


def test_no_ball_lies_still_on_a_ramp_or_a_wire(setup):
    assert [way.level_places for way in rolling.table_of(setup, 1).layout.ways if way.level_places] == []


def test_a_piece_of_a_way_that_falls_as_the_playfield_rises_is_noticed():
    """A rise of sin 6.5° a mm: height lost there is what the playfield gains."""
    points = [(0.0, 300.0), (0.0, 200.0), (0.0, 100.0), (0.0, 0.0)]
    fall = 100 * math.tan(math.radians(6.5))
    level = Way("wire", points, [100.0, 80.0, 80.0 - fall, 20.0], [], points, 6.5)
    assert level.level_places == [(0.0, 200.0)]


def test_no_ball_that_is_dropped_leaves_it_or_comes_to_rest(setup, places):
    table = DropTable(*rolling.parts_of(setup), 7)
    found = DropTest(table, 7, places).run(balls=40, lasts_ms=12_000)
    assert found.balls == 40
    assert found.left == []
    assert found.rested == []
    assert found.contacts


def test_a_hole_in_the_outer_wall_is_noticed(setup, places):
    table = DropTable(*rolling.parts_of(setup), 7)
    space = table.field.space
    gone = [shape for shape in space.static_body.shapes if shape.bb.right < 30 and shape.bb.top > 300]
    assert gone
    space.remove(*gone)
    found = DropTest(table, 7, places).run(balls=20, lasts_ms=4000)
    assert found.left
