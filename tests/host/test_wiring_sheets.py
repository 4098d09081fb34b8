"""Work sheets: a colour a wire, nothing at two places, scripts that run, a harness becomes a table."""

import subprocess
import sys
import types
import xml.etree.ElementTree as ET

import pytest

from firmware.base.errors import GameError, UsageError
from firmware.operator import wires
from hil import games
from hil.electrical.harness import convert, reading
from hil.electrical.worksheets import connections, picture, tables
from hil.electrical.worksheets.colours import NAMES, NEVER, colour, words

GAMES = ("honey_flow", "kit_room", "kite_day")


def inlane(*arguments):
    return subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", *arguments],
        capture_output=True,
        text=True,
        timeout=300,
    )


def table(switches=(), lamps=(), coils=()):
    return types.SimpleNamespace(SWITCHES=switches, LAMPS=lamps, COILS=coils)


def test_signal_colours_are_of_iec_60757_and_never_the_earths():
    kinds = [("switch row", 8), ("switch column", 8), ("direct", 16), ("lamp row", 8), ("lamp column", 8)]
    kinds += [("drive", 24), ("held drive", 2)]
    codes = [colour(what, n) for what, most in kinds for n in range(1, most + 1)]
    assert len(set(codes)) == len(codes)
    for code in codes:
        assert {code[:2], code[2:]} <= set(NAMES)
        assert code[:2] != code[2:]
        assert not any(bad in (code, code[:2], code[2:]) for bad in NEVER)
    assert words("WHOG") == "white with an orange ring"


def test_opto_switches_are_on_the_sheet_with_their_supplies():
    wired = connections.of_wiring(table((("gate", "target", "playfield", 1, 1),)))
    assert "## Opto switches" not in tables.sheet("mine", "pico_matrix", wired)
    text = tables.sheet("mine", "pico_matrix", wired, [("gate", "12 V")])
    assert "| gate | 12 V |" in text.partition("## Opto switches")[2].partition("## Lamp matrix")[0]


ONE_WINDING = (
    ("bat.strong", "flipper", 40, 60, 10, 8),
    ("bat.hold", "flipper", -1, 0, 0, 25),
)


def test_a_flipper_with_one_winding_has_one_fused_wire():
    wiring = table(coils=ONE_WINDING)
    wiring.FLIPPERS = (("button", "eos", "bat.strong", "bat.hold", 40),)
    wired = connections.of_wiring(wiring)
    text = tables.sheet("mine", "pico_matrix", wired)
    assert "**WARNING** One winding each: `bat.strong` and `bat.hold`." in text
    assert "| that of bat.strong | held |" in text
    assert "- [ ] bat.hold: C1.16 to C4.1: ____ Ω" in text
    assert "(coil bus 25)" not in text
    assert ">left open<" in picture.connectors(wired)
    two = connections.of_wiring(table(coils=ONE_WINDING))
    assert "One winding each" not in tables.sheet("mine", "pico_matrix", two)


def test_what_the_sums_refuse_stands_at_the_top_of_the_sheet():
    wired = connections.of_wiring(table())
    text = tables.sheet("mine", "pico_matrix", wired, refused=["the supply can kill"])
    assert "`inlane check` refuses:\n>\n> - the supply can kill\n" in text.partition("## Colours")[0]
    assert "`inlane check` refuses" not in tables.sheet("mine", "pico_matrix", wired)


@pytest.mark.parametrize("name", GAMES)
def test_every_thing_of_a_game_is_on_its_sheets(name):
    game = games.load(name)
    found = connections.of_wiring(game.wiring)
    sheet = tables.sheet(name, "pico_matrix", found)
    drawn = "".join(
        (
            picture.matrix("s", found.switches, ""),
            picture.matrix("l", found.lamps, ""),
            picture.connectors(found),
        )
    )
    for rows in (game.wiring.SWITCHES, game.wiring.LAMPS, game.wiring.COILS):
        for row in rows:
            assert row[0] in sheet
            assert f">{row[0]}<" in drawn


@pytest.mark.parametrize("name", GAMES)
def test_no_pin_carries_two_wires(name):
    found = connections.of_wiring(games.load(name).wiring)
    wires = {}
    for one in (*found.switches, *found.lamps):
        for wire in (one.row_wire, one.column_wire):
            assert wires.setdefault(wire.at, wire) == wire
    for wire in [w for coil in found.coils for w in (coil.wire, coil.bus)] + [d.wire for d in found.direct]:
        assert wire.at not in wires
        wires[wire.at] = wire


@pytest.mark.parametrize(
    ("wiring", "words"),
    [
        (table(coils=(("a", "snap", 20, 30, 60, 3), ("b", "snap", 20, 30, 60, 3))), "both at drive 3"),
        (
            table(switches=(("a", "target", "playfield", 1, 2), ("b", "target", "playfield", 1, 2))),
            "both at row 1, column 2",
        ),
        (
            table(switches=(("a", "target", "cabinet", 0, 17),)),
            "direct input 17; the board has direct input 1 to 16",
        ),
        (table(coils=(("a", "snap", 20, 30, 60, 27),)), "drive 27"),
        (table(lamps=(("a", "red", 9, 1),)), "row 9"),
    ],
)
def test_what_does_not_fit_is_refused(wiring, words):
    with pytest.raises(GameError, match=words):
        connections.of_wiring(wiring)


@pytest.mark.parametrize("name", GAMES)
def test_the_command_writes_sheets_and_scripts_that_the_bench_runs(name, tmp_path):
    assert inlane("wiring", name, "--out", str(tmp_path)).returncode == 0
    for file in tmp_path.glob("*.svg"):
        ET.fromstring(file.read_text(encoding="utf-8"))
    scripts = sorted(tmp_path.glob("*.play"))
    assert len(scripts) == 5
    by_hand = [path for path in scripts if "every_switch" in path.name]
    moved = [str(path) for path in scripts if path not in by_hand]
    done = inlane("replay", *moved, "--game", name)
    assert done.returncode == 0, done.stdout
    read = inlane("replay", *map(str, by_hand), "--game", name)
    assert read.returncode != 2, read.stderr


HEAD = ",".join(reading.COLUMNS)
SOUND = """
switch,left target,1,2,,,,,to column,,,,,,,,
switch,far target,2,12,,,,,to column,,,,,,,,
coil,kicker,,,48,dc,8,dc,to supply,plus,,1 slow,,,,,
flipper,left,,,48,dc,4,strong and hold,to supply,plus,,2 slow,logic,,,,
flipper,right,,,48,dc,4,single,to supply,plus,,2 slow,logic,,,,
lamp,shoot,1,1,6,dc,,,,,,,,,,,transistor
"""


def harness(tmp_path, text, head=HEAD):
    path = tmp_path / "harness.csv"
    path.write_text(head + "\n" + text.strip() + "\n", encoding="utf-8")
    return path


def test_a_sound_harness_becomes_a_table_that_fits(tmp_path):
    text, findings = convert.convert(reading.read(harness(tmp_path, SOUND)))
    assert [str(finding) for finding in findings if finding.refused] == []
    made = {}
    exec(compile(text, "wiring.py", "exec"), made)
    found = connections.of_wiring(types.SimpleNamespace(**made))
    assert [one.name for one in found.switches] == ["left_target"]
    assert [one.name for one in found.direct] == ["far_target"]
    assert [coil.name for coil in found.coils] == [
        "kicker",
        "left.strong",
        "left.hold",
        "right.strong",
        "right.hold",
    ]
    assert [coil.drive for coil in found.coils] == [1, 2, 3, 4, 25]


def test_diodes_the_other_way_swap_rows_and_columns(tmp_path):
    path = harness(tmp_path, "switch,one,3,7,,,,,to row,,,,,,,,")
    text, findings = convert.convert(reading.read(path))
    assert '("one", "target", "playfield", 7, 3)' in text
    assert any("your rows are our columns" in finding.text for finding in findings)


def test_a_kept_driver_boards_inputs_are_listed(tmp_path):
    lines = "driver,kick,,,5,,,,,,,,,low,2,20,\ndriver,pop,,,5,,,,,,,,,low,2,,"
    text, findings = convert.convert(reading.read(harness(tmp_path, lines)))
    assert '("kick", 0, 2, 20),' in text
    assert [f.text for f in findings] == ["'kick', 'pop' share decoder 2: only one of them at a time"]


CONFLICTS = {
    "common side on 0 V": "coil,k,,,48,dc,8,dc,to supply,zero,,1 slow,,,,,",
    "behind a relay; give each its own drive": "coil,k,,,48,dc,8,dc,to supply,plus,m,1 slow,,,,,",
    "AC; on DC it burns": "coil,k,,,48,ac,8,ac,to supply,plus,,1 slow,,,,,",
    "would short it": "coil,k,,,48,dc,8,dc,to drive,plus,,1 slow,,,,,",
    "would not open when it is locked on": "coil,k,,,48,dc,8,dc,to supply,plus,,5 slow,,,,,",
    "hangs on a thyristor": "lamp,l,1,1,18,unsmoothed,,,,,,,,,,,thyristor",
    "which can kill": "display,d,,,170,dc,,,,,,,,,,,",
    "carries its coil current": "flipper,f,,,48,dc,4,single,to supply,plus,,2 slow,coil current,,,,",
    "say how flipper 'f' is wound": "flipper,f,,,48,dc,4,,to supply,plus,,2 slow,logic,,,,",
    "say which level": "driver,in1,,,5,,,,,,,,,,,,",
    "at most 8 rows and 16 columns": "switch,s,9,1,,,,,to column,,,,,,,,",
    "both at row 1, column 1": "switch,s,1,1,,,,,to column,,,,,,,,\nswitch,t,1,1,,,,,to column,,,,,,,,",
    "point both ways": "switch,s,1,1,,,,,to column,,,,,,,,\nswitch,t,1,2,,,,,to row,,,,,,,,",
    "is listed twice": "\n".join(["coil,k,,,48,dc,8,dc,to supply,plus,,1 slow,,,,,"] * 2),
}


@pytest.mark.parametrize("words", CONFLICTS)
def test_a_conflict_is_refused_in_one_sentence(words, tmp_path):
    _, findings = convert.convert(reading.read(harness(tmp_path, CONFLICTS[words])))
    refused = [str(finding) for finding in findings if finding.refused]
    assert [line for line in refused if words in line and "harness.csv:" in line], refused


def test_while_something_is_refused_the_command_writes_no_table(tmp_path):
    path = harness(tmp_path, CONFLICTS["which can kill"])
    done = inlane("wiring", "--harness", str(path), "--out", str(tmp_path / "w.py"))
    assert done.returncode == 1
    assert "which can kill" in done.stderr
    assert not (tmp_path / "w.py").exists()


@pytest.mark.parametrize(
    ("head", "line", "words"),
    [
        ("kind,nmae", "coil,k", "there is no column 'nmae'; did you mean 'name'"),
        ("name", "k", "the column 'kind' is missing"),
        ("kind,name", "coyl,k", "'coyl' in column 'kind' is not known; did you mean 'coil'"),
        ("kind,name,ohms", "coil,k,many", "'many' in column 'ohms' is not a number"),
        ("kind,name,row", "switch,k,1.5", "1.5 in column 'row' cannot be"),
        ("kind,name", "coil,", "this line has no name"),
        ("kind,name", "coil,k,5", "more fields"),
    ],
)
def test_a_bad_line_is_one_sentence_with_file_and_line(head, line, words, tmp_path):
    with pytest.raises((GameError, UsageError), match=words) as caught:
        reading.read(harness(tmp_path, line, head))
    assert "harness.csv:" in str(caught.value)


def test_the_operators_pages_name_the_colours_of_the_work_sheets():
    for number in range(1, 9):
        row, column = wires.colours(number, number).split(" AND ")
        assert (row, column) == (colour("switch row", number), colour("switch column", number))
    for number in range(1, 17):
        assert wires.colours(0, number) == colour("direct", number)
