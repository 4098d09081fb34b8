"""A harness of an invented old machine becomes a machine file; what things are is read from their names."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from hil.command import app
from hil.electrical.harness import reading
from hil.electrical.worksheets import connections, tables
from hil.machine.editing import made_of
from hil.machine.from_harness.parts import of_coil, of_switch
from hil.machine.from_harness.text import text

HARBOUR = Path(__file__).parent / "harbour.csv"
FILE, FINDINGS = text(reading.read(HARBOUR), "Harbour")


def test_every_group_is_a_line():
    for line in (
        'lanes("top_lane", 3, at=(1, 1))',
        'targets("pier_target", 3, at=(1, 4))',
        'drops("crane_drop", 3, at=(2, 1), reset=Coil(',
        'bumpers("bumper", ("left", "right"), at=(2, 4), coil=Coil(',
        'spinner("windlass_spinner", at=(2, 6))',
        'hole("dock_saucer", at=(2, 7), coil=Coil(',
        'lanes("outlane", ("left", "right"), at=(3, 1), drains=True)',
        "outhole(at=(3, 3), coil=Coil(1, OUTHOLE_KICKER))",
        "shooter(at=(3, 4))",
        "held=25)",
        'chimes("chime", 2, coil=Coil(',
        'lamps("bonus", 2, colour="white", at=(1, 1))',
        'lamps("shoot_again", colour="white", at=(1, 3))',
    ):
        assert line in FILE, line


def test_it_gives_tables_without_a_complaint_and_every_coil_a_drive_of_its_own():
    made, errors = made_of(FILE, "host/machine.py")
    assert errors == []
    names = [row.name for row in made.wiring.COILS]
    assert len({row.drive for row in made.wiring.COILS}) == len(names) == 12
    assert ("bumper.left", "bumper.left", 20, 80) in made.wiring.REFLEXES
    assert made.host.LATCHES[0][:2] == ("crane_drop.1", "crane_drop_reset")
    assert made.wiring.BALLS == 1


def test_every_decision_is_a_sentence_with_its_line():
    notes = [str(finding).partition("harbour.csv:")[2] for finding in FINDINGS]
    for words in (
        "7: note: switch 'Pier target 3' goes to row 1, column 6",
        "19: note: switch 'Harbour light' is taken for a target; no word tells what it is",
        "20: note: switch 'Credit button' goes to direct input 5",
        "28: note: coil 'Knocker' has no winding: measure its ohms, mH and gauge, and fuse it",
    ):
        assert words in notes, notes


def test_the_sheets_can_be_printed():
    made, _errors = made_of(FILE, "host/machine.py")
    sheet = tables.sheet("harbour", "pico_matrix", connections.of_wiring(made.wiring))
    assert "crane_drop_reset" in sheet


def test_the_command_writes_the_file_and_its_tables(tmp_path):
    folder = tmp_path / "harbour"
    words = ["machine", str(folder), "--harness", str(HARBOUR)]
    result = CliRunner().invoke(app, words, standalone_mode=False)
    assert result.return_value == 1, result.output  # the knocker and the flippers may not be energised
    assert (folder / "host/machine.py").read_text() == FILE
    assert (folder / "wiring.py").is_file()
    again = CliRunner().invoke(app, words, standalone_mode=False)
    assert "there is a host/machine.py already; nothing was changed" in str(again.exception)


def test_nothing_is_written_while_something_is_refused(tmp_path):
    path = tmp_path / "bad.csv"
    path.write_text(HARBOUR.read_text().replace("to supply,plus,0.63 slow", "to drive,plus,0.63 slow"))
    result = CliRunner().invoke(
        app, ["machine", str(tmp_path / "bad"), "--harness", str(path)], standalone_mode=False
    )
    assert result.return_value == 1
    assert "would short it: turn it round" in result.output
    assert not (tmp_path / "bad").exists()


@pytest.mark.parametrize(
    ("name", "kind", "base", "end"),
    [
        ("Left Inlane", "lanes", "inlane", "left"),
        ("drop target 2", "drops", "drop_target", "2"),
        ("7 segment", "targets", "n7_segment", ""),
        ("Left flipper E.O.S.", "eos", "flipper_e_o_s", "left"),
    ],
)
def test_what_a_switch_is_by_its_name(name, kind, base, end):
    part = of_switch(reading.Item("switch", name))
    assert (part.kind, part.base, part.end) == (kind, base, end)


def coil(name, kind="coil", volts=34.0, ohms=6.0, current="dc", winding="dc"):
    """A measured coil of a harness."""
    return reading.Item(
        kind,
        name,
        volts=volts,
        current=current,
        ohms=ohms,
        winding=winding,
        diode="to supply",
        fuse="1 slow",
        mh=30,
        gauge=25,
        where="old.csv:9",
    )


def switches(*names):
    """Switches in the first row of a matrix."""
    return [reading.Item("switch", name, 1, at, diode="to column") for at, name in enumerate(names, 1)]


def test_a_pair_of_slings_is_a_line_that_the_machine_file_takes():
    items = switches("Outhole", "Left sling", "Right sling")
    made, _ = text([*items, *(coil(name) for name in ("Outhole", "Left sling", "Right sling"))], "Old")
    assert "slings(at=(1, 2), coil=Coil(2, OUTHOLE))" in made
    assert made_of(made, "host/machine.py")[1] == []


def test_a_second_pair_of_slings_is_targets_with_a_note():
    items = switches("Outhole", "Left sling", "Right sling", "Left upper sling", "Right upper sling")
    coils = [coil(name) for name in ("Outhole", "Left sling", "Right sling")]
    made, findings = text([*items, *coils], "Old")
    assert 'targets("upper_sling", ("left", "right"), at=(1, 4))' in made
    assert any("is taken for a target" in finding.text for finding in findings)


def test_the_left_coil_answers_the_left_switch_in_whatever_order_the_harness_lists_them():
    items = [*switches("Outhole", "Left bumper", "Right bumper"), coil("Outhole")]
    _, findings = text([*items, coil("Right bumper", ohms=9), coil("Left bumper")], "Old")
    words = (
        "coils 'Left bumper' and 'Right bumper' are wound or fused differently, so their line has no winding"
    )
    assert words in [finding.text for finding in findings]


def test_different_windings_in_one_line_are_not_taken_for_the_first_ones():
    items = [*switches("Outhole", "Left bumper", "Right bumper"), coil("Outhole")]
    made, _ = text([*items, coil("Left bumper"), coil("Right bumper", ohms=9)], "Old")
    assert 'bumpers("bumper", ("left", "right"), at=(1, 2), coil=Coil(2))' in made


def test_an_unsmoothed_supply_is_not_written_as_a_smoothed_one():
    items = [*switches("Outhole"), coil("Outhole", current="unsmoothed")]
    assert "SUPPLY = Supply(34, ohms=0.3, smoothed=False)" in text(items, "Old")[0]
    assert "SUPPLY = Supply(34, ohms=0.3)  #" in text([*items[:1], coil("Outhole")], "Old")[0]


def test_a_coil_of_another_supply_is_noted():
    _, findings = text([*switches("Outhole"), coil("Outhole"), coil("Gong", volts=24.0)], "Old")
    sentence = "coil 'Gong' runs from 24 V; the coil bus has 34 V, and it is judged at those"
    assert [finding for finding in findings if finding.text.startswith(sentence)]


@pytest.mark.parametrize(
    ("item", "sentence"),
    [
        (
            coil("Gong", current="unsmoothed"),
            "the supply of 34 V RMS, rectified and unsmoothed can reach 37 V, above the 25 V",
        ),
        (
            coil("Left", "flipper", winding="single", volts=58),
            "the supply of 58 V DC can reach 64 V, above the 60 V that may be touched",
        ),
        (
            reading.Item("lamp", "Star", 1, 1, 6.3, "dc"),
            "lamp 'Star' is for 6.3 V; our matrix feeds 12 V: fit",
        ),
    ],
)
def test_what_could_hurt_or_burn_is_a_sentence(item, sentence):
    assert [
        finding
        for finding in text([*switches("Outhole"), item], "Old")[1]
        if finding.text.startswith(sentence)
    ]


@pytest.mark.parametrize("items", [[], [coil("Outhole")]])
def test_a_harness_without_a_switch_is_refused_in_a_sentence(items):
    made, findings = text(items, "Old")
    assert made == ""
    assert [finding.text for finding in findings if finding.refused] == [
        "no line is a switch; a game needs those that its ball closes"
    ]


def test_what_a_coil_is_by_its_name():
    assert of_coil(reading.Item("coil", "Bell low")).kind == "chimes"
    assert of_coil(reading.Item("coil", "Something")).kind == "coil"


def test_a_single_bumper_takes_one_place():
    found, _ = text([*switches("outhole", "left bumper", "star target"), coil("left bumper")], "Reef")
    assert 'bumpers("bumper_left", 1, at=(1, 2), coil=Coil(2, BUMPER))' in found
    assert 'targets("star_target", at=(1, 3))' in found
