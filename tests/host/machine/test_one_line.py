"""What takes one line, or one word, of a machine file."""

import pytest

from hil.machine.writing import wiring

LANES = 'lanes("pool", 3, at=(1, 1)),'
SPOT = 'targets("spot", at=(1, 8)),'


def names(rows):
    return [row[0] for row in rows]


def by_name(rows):
    return {row[0]: row for row in rows}


def test_a_switch_more_in_the_middle_moves_no_wire_and_stays_beside_its_bank(machine):
    before = machine.tables('targets("buoy", 3, at=(1, 5)),', SPOT)
    after = machine.tables('targets("buoy", 4, at=((1, 5), (1, 6), (2, 8), (1, 7))),', SPOT)
    wires = {row.name: (row.row, row.column) for row in after.wiring.SWITCHES}
    assert all(
        wires[row.name] == (row.row, row.column) for row in before.wiring.SWITCHES if row.name != "buoy.3"
    )
    assert wires["buoy.3"] == (2, 8)
    at = names(after.wiring.SWITCHES).index("buoy.1")
    assert names(after.wiring.SWITCHES)[at : at + 5] == ["buoy.1", "buoy.2", "buoy.3", "buoy.4", "spot"]
    assert len(after.wiring.SWITCHES) == len(before.wiring.SWITCHES) + 1
    assert set(names(after.host.SHOTS)) - set(names(before.host.SHOTS)) == {"buoy_4"}


def test_ids_follow_wires_not_lines(machine):
    lines = [LANES, SPOT, 'hole("saucer", at=(2, 8), coil=Coil(11, SMALL), lamp=Lamp("red", (1, 1))),']
    one, other = machine.tables(*lines), machine.tables(*reversed(lines))
    assert one.wiring.SWITCHES == other.wiring.SWITCHES
    assert one.wiring.COILS == other.wiring.COILS
    assert names(one.wiring.COILS) == ["trough_eject", "auto_plunger", "saucer_eject"]
    assert names(one.host.SHOTS) != names(other.host.SHOTS)  # the order of lines is the order of the keys


def test_drop_targets_with_a_shared_reset(machine):
    made = machine.tables(
        'drops("buoy", 3, at=(1, 1), reset=Coil(12, SMALL)),',
        'drops("float", at=(1, 8), reset="buoy"),',
    )
    assert [row[:2] for row in made.host.LATCHES] == [
        ("buoy.1", "buoy_reset"),
        ("buoy.2", "buoy_reset"),
        ("buoy.3", "buoy_reset"),
        ("float", "buoy_reset"),
    ]
    assert made.wiring.LATCHED == ("buoy.1", "buoy.2", "buoy.3", "float")
    assert names(made.wiring.COILS).count("buoy_reset") == 1
    assert made.wiring.SEARCH[0] == ("buoy_reset", 1, "")
    assert by_name(made.host.SHOTS)["float"][4] == (("drop", 250, "float"), ("rest", 400, "flipper.left"))


def test_an_opto_is_inverted_and_says_its_supply(machine):
    made = machine.tables('targets("gate", at=(1, 1), opto="12 V"),', SPOT)
    assert made.wiring.INVERTED == ("gate",)
    assert made.host.OPTOS == (("gate", "12 V"),)


def test_a_lock_of_three(machine):
    made = machine.tables('hole("lock", 3, at=(3, 1), coil=Coil(11, SMALL), search=3),')
    switches = ("lock.1", "lock.2", "lock.3")
    assert tuple(names(made.wiring.SWITCHES)[-3:]) == switches
    assert by_name(made.host.DEVICES)["lock"] == (
        "lock",
        switches,
        "lock_eject",
        15,
        20,
        120,
        60,
        "from_lock",
    )
    assert made.wiring.SEARCH[0] == ("lock_eject", 3, "lock")
    assert {"from_lock", "lock_is_full", "out_of_lock"} <= set(names(made.host.ROUTES))


def test_flippers_with_one_winding_are_held_by_pwm_and_have_diodes(machine):
    made = machine.tables("flippers(strong=Coil(5, THROW), held=25),")
    drives = {row.name: row.drive for row in made.wiring.COILS}
    assert drives["flipper.left.strong"] == 5
    assert drives["flipper.right.strong"] == 6
    assert drives["flipper.left.hold"] == 25
    assert drives["flipper.right.hold"] == 26
    clamps = {row[0]: row[5] for row in made.host.COILS}
    assert {name: clamp for name, clamp in clamps.items() if "flipper" in name} == dict.fromkeys(
        (name for name in drives if "flipper" in name), 0.0
    )
    assert {row[0] for row in made.wiring.HEAT} >= {"flipper.left.hold", "flipper.left.strong"}


def test_an_outhole_is_a_machine_of_one_ball(machine):
    made = machine.tables(balls="outhole(at=(1, 1), coil=Coil(1, SMALL)), shooter(at=(1, 2)),")
    assert (made.wiring.BALLS, made.wiring.TROUGH) == (1, ("outhole",))
    assert made.host.DEVICES == (
        ("outhole", ("outhole",), "outhole_kick", 15, 20, 120, 60, "to_lane"),
        ("lane", ("lane",), "", 15, 15, 20, 10, "served"),
    )


def test_a_coil_without_a_winding_has_no_heat_budget(machine):
    made = machine.tables('coil("spare", Coil(9)),')
    assert "spare" not in names(made.wiring.HEAT)
    assert "spare" not in names(made.host.COILS)


def test_the_plunge_leads_over_lanes_that_have_no_shot_then(machine):
    shooter = 'shooter(at=(2, 7), coil=Coil(2, THROW), over="pool", usual=2),'
    balls = f"trough(3, at=(2, 3), coil=Coil(1, SMALL)), {shooter}"
    made = machine.tables(LANES, balls=balls)
    shots = by_name(made.host.SHOTS)
    assert "pool_1" not in shots
    assert shots["plunge"][2] == (("pool", 0, 3, 2, (1, 2, 2, 2)),)
    served = by_name(made.host.ROUTES)["served"]
    assert served[1][1] == ("pick", "pool", ("nowhere", "pool_1", "pool_2", "pool_3"))


def test_an_outlane_with_a_kickback_catches_the_ball(machine):
    made = machine.tables(
        'lanes("outlane", ("left", "right"), at=(1, 1), drains=True),',
        'kickback("guard", lane="outlane.left", coil=Coil(15, THROW)),',
    )
    shots = by_name(made.host.SHOTS)
    assert ("catch", "guard", 200, 15, "from_guard") in shots["left_outlane"][4]
    assert shots["right_outlane"][4][-1] == ("go", "drained")


def test_a_cabinet_for_two_players_is_in_the_wiring_table(machine):
    assert machine.tables("cabinet(players=2),").wiring.PLAYERS == 2
    assert "PLAYERS = 2" in wiring(machine.tables("cabinet(players=2),").wiring)
    assert "PLAYERS" not in wiring(machine.tables("cabinet(),").wiring)


def test_chimes_strike_cues_and_displays_are_listed(machine):
    made = machine.tables(
        'chimes("chime", ("low", "high"), coil=Coil(10, SMALL),',
        '    cues=(("start", (("low", 180), ("high", 90))),)),',
        'displays("player", 4, digits=7),',
        'displays("count", digits=2, shows="count"),',
    )
    assert made.wiring.CHIMES == (("start", (("chime.low", 180), ("chime.high", 90))),)
    assert made.wiring.DISPLAYS[0] == ("player.1", 7, 7, "score")
    assert made.wiring.DISPLAYS[4:] == (("count", 2, 7, "count"),)
    assert by_name(made.wiring.COILS)["chime.high"] == ("chime.high", "snap", 25, 40, 70, 11)


@pytest.mark.parametrize("n", [1, 2])
def test_places_go_on_in_the_next_row(machine, n):
    made = machine.tables(f'targets("bank", {n + 1}, at=(1, 8)),')
    wires = [(row.row, row.column) for row in made.wiring.SWITCHES if row.name.startswith("bank")]
    assert wires == [(1, 8), (2, 1), (2, 2)][: n + 1]
