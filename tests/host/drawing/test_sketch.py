"""A game without a drawing is laid out from its tables: each thing has a place of its own."""

import itertools
import math
from dataclasses import replace

import pytest

from hil import games
from hil.command import drawn
from simulator.drawing.drawing import Drawing
from simulator.drawing.machine import Device, Flipper, Switch
from simulator.drawing.sketch import lay_out


def laid_out(machine):
    return Drawing(lay_out(machine, "SOME GAME").encode(), "laid out", machine)


@pytest.fixture
def harbour(machine):
    """An invented machine with much of everything."""
    kinds = {
        "rollover": (
            "wave.1 wave.2 wave.3 wave.4 pier.enter pier.made jetty_right.enter jetty_right.made "
            "loop.left loop.right inlane.left inlane.right outlane.left outlane.right keel quay"
        ),
        "bumper": "buoy.1 buoy.2 buoy.3 buoy.4 buoy.5",
        "target": "crate.1 crate.2 crate.3 barrel.1 barrel.2 barrel.3 barrel.4 rope.1 rope.2 gull mast",
        "spinner": "capstan winch",
        "sling": "sling.left sling.right",
    }
    switches = {name: Switch(kind, "playfield") for kind, names in kinds.items() for name in names.split()}
    rests = "hold.1 hold.2 hold.3 cabin trough.1 trough.2 trough.3 trough.4 trough.jam"
    switches.update({name: Switch("rest", "device") for name in rests.split()})
    switches["lane"] = Switch("lane", "device")
    lamps = (
        "wave.1 wave.2 wave.3 wave.4 crate.1 crate.2 crate.3 barrel.1 barrel.2 barrel.3 barrel.4 gull mast "
        "capstan loop_left loop_right pier hold cabin lock.1 lock.2 lock.3 again start tilt times.2 times.3 "
        "super_jackpot mystery extra_ball special.left special.right outlane.left outlane.right buoy.1 storm"
    )
    sides = ("left", "right", "upper")
    return replace(
        machine,
        switches=switches,
        lamps=dict.fromkeys(lamps.split(), "amber"),
        coils={
            "trough_eject": "queued",
            "plunger": "queued",
            "hold_eject": "queued",
            "cabin_eject": "queued",
            "crate_reset": "queued",
            "flash.sea": "flasher",
        },
        reflexes={},
        flippers=tuple(Flipper(f"flipper.{side}", f"flipper.{side}.strong", "", "", "") for side in sides),
        latches={f"crate.{number}": "crate_reset" for number in (1, 2, 3)},
        devices=(
            Device("trough", ("trough.1", "trough.2", "trough.3", "trough.4"), (), "trough_eject"),
            Device("lane", ("lane", "lane.2"), ("lane.2",), "plunger"),
            Device("hold", ("hold.1", "hold.2", "hold.3"), (), "hold_eject"),
            Device("cabin", ("cabin",), (), "cabin_eject"),
        ),
        home="trough",
        moves=(
            ("trough.1", "trough.jam"),
            ("trough.jam", "lane.2"),
            ("lane", "wave.2"),
            ("wave.2", "buoy.1"),
            ("lane", "flipper.right"),
            ("outlane.left", "drain"),
            ("drain", "trough.4"),
            ("loop.right", "loop.top"),
            ("loop.top", "wave.1"),
        ),
    )


def test_everything_of_a_large_machine_has_a_place(harbour):
    drawing = laid_out(harbour)
    assert drawing.remarks == []
    assert drawing.placed_switches() == set(harbour.switches)
    assert drawing.placed_lamps() == set(harbour.lamps)
    assert set(harbour.coils) <= drawing.placed_coils()


@pytest.mark.parametrize("name", games.built_in())
def test_every_game_can_do_without_its_drawing(name):
    machine = drawn.machine(games.load(name))
    assert laid_out(machine).remarks == []


def test_no_insert_lies_on_another_and_no_switch_on_another(harbour):
    drawing = laid_out(harbour)
    for one, other in itertools.combinations(drawing.inserts, 2):
        assert math.dist((one.x, one.y), (other.x, other.y)) >= one.size + other.size, (one.lamp, other.lamp)
    spots = [(m.switch, m.x, m.y) for m in (*drawing.marks, *drawing.bumpers)]
    for (one, x, y), (other, u, v) in itertools.combinations(spots, 2):
        assert math.dist((x, y), (u, v)) >= 20, (one, other)


def test_things_lie_where_they_usually_do(harbour):
    drawing = laid_out(harbour)
    at = {mark.switch: (mark.x, mark.y) for mark in drawing.marks}
    lanes = [at[f"wave.{number}"] for number in (1, 2, 3, 4)]
    assert lanes == sorted(lanes)
    assert all(y < 200 for _, y in lanes)
    assert all(lanes[0][1] < bumper.y < 400 for bumper in drawing.bumpers)
    assert at["outlane.left"][0] < at["inlane.left"][0] < at["inlane.right"][0] < at["outlane.right"][0]
    assert at["lane"][0] > at["outlane.right"][0]
    assert at["trough.1"][1] > 1000
    bats = {bat.name: bat for bat in drawing.bats}
    assert bats["flipper.left"].rest[0] > bats["flipper.left"].pivot[0]
    assert bats["flipper.upper"].pivot[1] < bats["flipper.right"].pivot[1]


def test_a_game_without_a_drawing_plays_at_once(tmp_path):
    import shutil

    pytest.importorskip("pygame")
    from hil.command.at_desk import DeskSetup

    folder = tmp_path / "attic"
    shutil.copytree(games.load("kit_room").folder, folder)
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", "attic"))
    (folder / "host" / "playfield.svg").unlink()
    table = DeskSetup(games.load(str(folder)))
    machine = table.live(1, {})
    desk = table.desk(machine)
    x, y = desk._drawing.points["land.2"]
    layout = desk.picture.layout
    at = layout.field.x + x * layout.scale, layout.field.y + y * layout.scale
    assert desk.mouse.switch_at(*map(round, at)) == "land.2"
    machine.run_to(1_000)
    assert desk.screenshot().get_size() == (1280, 800)
