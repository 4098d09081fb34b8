"""Work sheets: a colour a wire, nothing at two places, scripts that run, a harness becomes a table."""

import json
import subprocess
import sys
import types
import xml.etree.ElementTree as ET

import pytest

from firmware.base.errors import GameError, UsageError
from firmware.operator import wires
from hil import games
from hil.electrical.harness import reading
from hil.electrical.harness.judging import judge
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


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", GAMES)
def test_the_command_writes_sheets_and_scripts_that_the_bench_runs(name, tmp_path):
    assert inlane("wiring", name, "--out", str(tmp_path)).returncode == 0
    for file in tmp_path.glob("*.svg"):
        ET.fromstring(file.read_text(encoding="utf-8"))
    scripts = sorted(tmp_path.glob("*.play"))
    assert len(scripts) == 6
    by_hand = [path for path in scripts if "every_switch" in path.name]
    moved = [str(path) for path in scripts if path not in by_hand]
    done = inlane("replay", *moved, "--game", name)
    assert done.returncode == 0, done.stdout
    read = inlane("replay", *map(str, by_hand), "--game", name)
    assert read.returncode != 2, read.stderr


HEAD = "kind,name,row,column,volts,current,ohms,gauge,winding,diode,common,steered,fuse,button,switching"
COIL = "coil,k,,,48,dc,8,26,dc,to supply,plus,,0.8 slow,,"


def harness(tmp_path, text, head=HEAD):
    path = tmp_path / "harness.csv"
    path.write_text(head + "\n" + text.strip() + "\n", encoding="utf-8")
    return path


CONFLICTS = {
    "common side on 0 V": COIL.replace("plus", "zero"),
    "behind a relay; give each its own drive": COIL.replace("plus,", "plus,m"),
    "AC; on DC it burns": COIL.replace("dc", "ac"),
    "would short it": COIL.replace("to supply", "to drive"),
    "is not promised to open": COIL.replace("0.8 slow", "5 slow"),
    "hangs on a thyristor": "lamp,l,1,1,18,unsmoothed,,,,,,,,,thyristor",
    "which can kill": "display,d,,,170,dc,,,,,,,,,",
    "carries its coil current": "flipper,f,,,48,dc,4,23,single,to supply,plus,,2 slow,coil current,",
    "is wound in a way that is not told": "flipper,f,,,48,dc,4,23,,to supply,plus,,2 slow,logic,",
    "no board here drives one": "driver,in1,,,5,,,,,,,,,,",
    "at most 8 rows and 16 columns": "switch,s,9,1,,,,,,to column,,,,,",
    "both at row 1, column 1": "switch,s,1,1,,,,,,to column,,,,,\nswitch,t,1,1,,,,,,to column,,,,,",
    "point both ways": "switch,s,1,1,,,,,,to column,,,,,\nswitch,t,1,2,,,,,,to row,,,,,",
    "is listed twice": f"{COIL}\n{COIL}",
    "has no ohms declared": COIL.replace(",8,", ",,"),
    "has no wire gauge declared": COIL.replace("26", ""),
    "has no fuse declared": COIL.replace("0.8 slow", ""),
    "has no volts measured": COIL.replace("48", ""),
    "so few ohms are a short": COIL.replace(",8,", ",0.2,"),
    "fuse '0 slow': a rating of 0 cannot be": COIL.replace("0.8 slow", "0 slow"),
}


@pytest.mark.parametrize("words", CONFLICTS)
def test_a_conflict_is_refused_in_one_sentence(words, tmp_path):
    findings = judge(reading.read(harness(tmp_path, CONFLICTS[words])))
    refused = [str(finding) for finding in findings if finding.refused]
    assert [line for line in refused if words in line and "harness.csv:" in line], refused


def test_a_sound_coil_is_not_refused(tmp_path):
    assert [str(one) for one in judge(reading.read(harness(tmp_path, COIL))) if one.refused] == []


def test_while_something_does_not_fit_the_command_writes_nothing(tmp_path):
    path = harness(tmp_path, CONFLICTS["which can kill"])
    done = inlane("wiring", "--harness", str(path), "--out", str(tmp_path / "w"))
    assert done.returncode == 1
    assert "which can kill" in done.stderr
    assert not (tmp_path / "w").exists()


def test_the_harness_and_the_sums_say_the_same_sentences_of_a_winding(tmp_path):
    """3.1 Ω at 34 V behind a 5 A fuse."""
    line = "coil,gong,,,34,dc,3.1,24,dc,to supply,plus,,5 slow,,"
    told = {one.text for one in judge(reading.read(harness(tmp_path, line))) if one.refused}
    given = ["--volts", "34", "--ohms", "3.1", "--gauge", "24", "--fuse", "5 slow", "--clamp", "zener"]
    done = inlane("coil", "gong", *given, "--longest", "60", "--json")
    assert done.returncode == 1
    coil = {one["text"] for one in json.loads(done.stdout)["findings"] if one["weight"] == "refused"}
    assert told == coil
    assert [text for text in told if "a 5 A slow fuse is not promised to open: coil 'gong' locked" in text]


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
