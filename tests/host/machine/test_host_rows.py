"""The rows of a game's host tables: read by field, refused in a sentence, the same fields as the plant's."""

from dataclasses import fields
from types import ModuleType

import pytest

from firmware.base.errors import GameError
from hil import host_tables
from hil.host_tables import DropTargetRow, KeyGroup, KeyRow, OptionRow
from simulator import routes
from simulator.desk import keymap

SAME = {
    host_tables.DeviceRow: routes.DeviceRow,
    host_tables.DropTargetRow: routes.DropTargetRow,
    host_tables.BatRow: routes.FlipperRow,
    host_tables.WheelRow: routes.WheelRow,
    host_tables.WeakCoilRow: routes.WeakCoilRow,
    host_tables.OptionRow: routes.Option,
    host_tables.ShotRow: routes.ShotRow,
    host_tables.RouteRow: routes.RouteRow,
    host_tables.KeyRow: keymap.Key,
    host_tables.KeyGroup: keymap.Group,
}


def tables(**given):
    module = ModuleType("routes")
    module.__file__ = "host/routes.py"
    vars(module).update(given)
    return module


@pytest.mark.parametrize("row", SAME, ids=lambda row: row.__name__)
def test_a_row_has_the_fields_of_the_plant(row):
    assert row._fields == tuple(field.name for field in fields(SAME[row]))


def test_rows_are_read_by_field():
    [row] = host_tables.rows(tables(LATCHES=(("drop.1", "drop_reset", 40, 60),)), "LATCHES", DropTargetRow)
    assert (row.switch, row.coil, row.least_pulse, row.opens_after) == ("drop.1", "drop_reset", 40, 60)
    assert host_tables.rows(tables(), "LATCHES", DropTargetRow) == []


@pytest.mark.parametrize(("row", "given"), [(("drop.1", "drop_reset", 40), "3"), ("drop.1", "no")])
def test_a_row_of_another_length_is_refused(row, given):
    with pytest.raises(GameError) as refused:
        host_tables.rows(tables(LATCHES=(row,)), "LATCHES", DropTargetRow)
    takes = "it takes switch, coil, least_pulse, opens_after"
    assert str(refused.value) == f"host/routes.py: LATCHES, row 1 has {given} entries; {takes}"


def test_options_of_shots_are_rows_too():
    shot = ("plunge", "lane", (("land", 0, 2, 1, (1, 1, 1)),), "pull the plunger", ())
    [found] = host_tables.shot_rows(tables(SHOTS=(shot,)))
    assert found.options == (OptionRow("land", 0, 2, 1, (1, 1, 1)),)
    assert found.options[0].usual == 1
    short = (*shot[:2], (("land", 0, 2),), *shot[3:])
    with pytest.raises(GameError, match="shot 'plunge', options, row 1 has 3 entries"):
        host_tables.shot_rows(tables(SHOTS=(short,)))


def test_a_key_by_hand_that_is_too_short_is_left_for_the_desk_to_refuse():
    made = (KeyGroup("shots", (KeyRow("q", "shot", "ramp", "ramp"), KeyRow("w", "shot", "orbit", "orbit"))),)
    [group] = host_tables.merge_keys(made, (("shots", (("q", "shot"),)),))
    assert group == ("shots", (("w", "shot", "orbit", "orbit"), ("q", "shot")))
