"""Six invented old machines: every planted conflict is named once, and nothing else is refused."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

import hil
from hil.command import app
from hil.electrical import windings
from hil.electrical.harness import reading
from hil.electrical.sums.findings import REFUSED, judge
from hil.electrical.sums.sizing import work_out
from hil.machine.editing import made_of
from hil.machine.from_harness.text import text as text_of

HEAD = (
    "kind,name,row,column,volts,current,ohms,mh,gauge,winding,diode,common,steered,fuse,button,switching,"
    "amperes,fires,chain,connector,pin,wire"
)
COLUMNS = HEAD.split(",")


def line(kind, name, **cells):
    return ",".join({"kind": kind, "name": name, **cells}.get(column, "") for column in COLUMNS)


def coil(name, volts="48", kind="coil", **cells):
    usual = {
        "volts": volts, "current": "dc", "ohms": "8", "mh": "40", "gauge": "26", "winding": "dc",
        "diode": "to supply", "common": "plus", "fuse": "0.8 slow",
    }  # fmt: skip
    return line(kind, name, **{**usual, **cells})


def switches(*names, diode="to column", **cells):
    return [
        line("switch", name, row="1", column=str(at), diode=diode, **cells)
        for at, name in enumerate(names, 1)
    ]


def flipper(name, winding, volts="48", **cells):
    usual = {
        "ohms": "4",
        "mh": "20",
        "gauge": "20",
        "fuse": "1.6 slow",
        "button": "logic",
        "winding": winding,
    }
    return coil(name, volts, "flipper", **{**usual, "winding": winding, **cells})


def lamps(count, **cells):
    places = [{"row": str(at // 8 + 1), "column": str(at % 8 + 1)} for at in range(count)]
    return [line("lamp", f"lamp {n}", **place, **cells) for n, place in enumerate(places, 1)]


SIX = {
    "34 V AC, rectified and unsmoothed": (
        [
            *switches("Outhole", "Left lane"),
            coil("Outhole", "34", current="unsmoothed"),
            coil("Gong", "34", current="ac", winding="ac"),
            *lamps(8, volts="6.3", current="ac", switching="thyristor"),
        ],
        [
            "coil 'Gong' is wound for, or fed with, AC",
            "8 lamps ('lamp 1', 'lamp 2', 'lamp 3' … 'lamp 8'): each hangs on a thyristor",
            "the supply of 34 V RMS, rectified and unsmoothed can reach 37 V, above the 25 V",
        ],
        ["a reservoir raises the supply of 34 V RMS, rectified and unsmoothed to 48 V DC, 53 V at high"],
        False,
    ),
    "48 V DC, everything measured": (
        [
            *switches("Outhole", "Left target"),
            coil("Outhole", connector="J3", pin="4", wire="red-white"),
            flipper("Left", "strong and hold", fuse="1.6 slow"),
            flipper("Right", "strong and hold", fuse="1.6 slow"),
            line("switch", "Left end of stroke", fires="Left"),
            line("switch", "Right end of stroke", fires="Right"),
            line("display", "Score", volts="5", current="dc"),
        ],
        [],
        ["display 'Score' has digits at logic level", "2 flippers ('Left', 'Right'): each has two windings"],
        True,
    ),
    "mixed supplies": (
        [
            *switches("Outhole", "Sling left", "Sling right"),
            coil("Outhole", "48"),
            coil("Gong", "28", ohms="3.1", gauge="24", fuse="5 slow"),
            coil("Blank", "48", ohms=""),
            coil("Bare", "48", fuse=""),
            coil("Short", "48", ohms="0.2", fuse="0.8 slow"),
        ],
        [
            "a 5 A slow fuse is not promised to open: coil 'Gong'",
            "coil 'Blank' has no ohms declared: it is not energised",
            "coil 'Bare' has no fuse declared: it is not energised",
            "coil 'Short' of 0.2 Ω draws 80 A",
        ],
        ["coil 'Gong' runs from 28 V; the coil bus has 48 V, and it is judged at those"],
        True,
    ),
    "kept driver boards": (
        [
            *switches("Outhole"),
            coil("Outhole", "48"),
            line("driver", "select 1", volts="5"),
            line("driver", "select 2", volts="5"),
            line("driver", "blanking", volts="5"),
        ],
        ["3 drivers ('select 1', 'select 2', 'blanking'): each belongs to a driver board that is kept"],
        [],
        False,
    ),
    "6.3 V illumination": (
        [
            *switches("Outhole", diode="to row"),
            coil("Outhole", "43", fuse="0.8 slow"),
            *lamps(64, volts="6.3", current="dc", amperes="0.25", switching="transistor"),
            line("illumination", "Upper string", volts="6.3", current="ac", amperes="4", fuse="5 slow"),
            line("illumination", "Lower string", volts="6.3", current="ac", amperes="4", fuse="5 slow"),
            line("illumination", "Back box", volts="6.3", current="ac", amperes="6"),
            line("display", "Player 1", volts="180", current="dc"),
        ],
        [
            "illumination 'Back box' has no fuse of its own",
            "display 'Player 1' runs from 180 V",
        ],
        [
            "64 lamps ('lamp 1', 'lamp 2', 'lamp 3' … 'lamp 64'): each is for 6.3 V and a bulb of 0.25 A",
            "3 illuminations ('Upper string', 'Lower string', 'Back box'): each stays on its own transformer",
            "the diodes' bands are at the rows: your rows are our columns",
        ],
        False,
    ),
    "two windings, end of stroke, steered and chained": (
        [
            *switches("Outhole", "Cabin bumper"),
            line("switch", "Far target", row="2", column="1", diode="to row"),
            line("switch", "Left end of stroke", fires="Left", button="coil current"),
            line("switch", "Cabin contact", row="3", column="1", diode="to column", fires="Cabbin"),
            coil("Outhole", chain="red"),
            coil("Saucer", chain="red", steered="Knocker"),
            coil("Knocker", chain="red", steered="Saucer", diode="to drive"),
            flipper("Left", "strong and hold", button="coil current"),
            flipper("Right", "strong and hold"),
        ],
        [
            "coil 'Knocker' has a diode with its band at the drive, which would short it",
            "switch 'Left end of stroke' carries a coil's current",
            "flipper 'Left' has a cabinet button that carries its coil current",
            "the diodes of the switch matrix point both ways: turn round that of 'Far target'",
            "coil 'Saucer' shares its wire with 'Knocker' behind a relay",
            "switch 'Cabin contact' fires 'Cabbin', which is no coil of this harness",
        ],
        [
            "the supply wire 'red' goes from coil to coil ('Outhole', 'Saucer', 'Knocker'): split it",
            "flipper 'Right' has no end-of-stroke switch that names it",
        ],
        False,
    ),
}


def run(tmp_path, lines):
    path = tmp_path / "old.csv"
    path.write_text("\n".join([HEAD, *lines]) + "\n", encoding="utf-8")
    words = ["wiring", "--harness", str(path), "--out", str(tmp_path / "out")]
    result = CliRunner().invoke(app, words, standalone_mode=False)
    assert result.exception is None, result.output
    said = [
        one.partition(": ")[2] for one in result.output.splitlines() if "old.csv:" in one.partition(" ")[0]
    ]
    return result.return_value, said, tmp_path / "out"


@pytest.mark.parametrize("name", SIX)
def test_each_planted_conflict_is_named_once_and_nothing_else_is_refused(name, tmp_path):
    lines, conflicts, notes, written = SIX[name]
    code, said, out = run(tmp_path, lines)
    refused = [one for one in said if not one.startswith("note: ")]
    told = [one.removeprefix("note: ") for one in said if one.startswith("note: ")]
    assert code == (1 if conflicts else 0)
    for words in conflicts:
        assert len([one for one in refused if words in one]) == 1, (words, refused)
    assert len(refused) == len(conflicts), refused
    for words in notes:
        assert len([one for one in told if words in one]) == 1, (words, told)
    assert (out / "machine.py").exists() == written


def test_the_sheet_leads_from_each_old_wire_to_ours(tmp_path):
    lines, _, _, _ = SIX["48 V DC, everything measured"]
    _, _, out = run(tmp_path, lines)
    sheet = (out / "old_to_new.md").read_text(encoding="utf-8")
    assert "| Outhole (outhole_kick) | J3, 4, red-white | C1.1 BNRD" in sheet
    assert "| 8 | 0.8 slow | 22.5 V suppressor | 60 ms |" in sheet
    assert "| Left end of stroke | not written down | D1.3" in sheet
    assert "| Right end of stroke | not written down | D1.4" in sheet
    assert "| coin door |" in sheet
    assert {path.name for path in Path(out).iterdir()} >= {"machine.py", "wiring.md", "connectors.svg"}


def test_what_may_not_be_energised_stands_at_the_top_of_its_sheets(tmp_path):
    lines, conflicts, _, _ = SIX["mixed supplies"]
    _, _, out = run(tmp_path, lines)
    for name in ("old_to_new.md", "wiring.md"):
        top = (out / name).read_text(encoding="utf-8").partition("## ")[0]
        assert all(words in top for words in conflicts)


def test_a_switch_that_names_its_coil_becomes_a_reflex(tmp_path):
    contact = line("switch", "Cabin", row="2", column="1", diode="to column", fires="Thumper")
    lines = [*switches("Outhole"), contact, coil("Outhole"), coil("Thumper", "48", ohms="8")]
    code, _, out = run(tmp_path, lines)
    assert code == 0
    assert 'bumpers("cabin", 1, at=(2, 1), coil=Coil(2, OUTHOLE))' in (out / "machine.py").read_text()


def test_the_page_s_example_is_refused_neither_by_the_harness_nor_by_the_sums_of_its_machine(tmp_path):
    page = (Path(hil.__path__[0]) / "electrical/harness/README.md").read_text(encoding="utf-8")
    (example,) = [part for part in page.split("```") if part.strip().startswith("kind,name")]
    path = tmp_path / "old.csv"
    path.write_text(example.strip() + "\n", encoding="utf-8")
    text, findings = text_of(reading.read(path), "Old")
    assert [str(one) for one in findings if one.refused] == []
    made, _ = made_of(text, "machine.py")
    feed = windings.feed_of_row(made.host.SUPPLY)
    strong = {row.hold: row.longest_ms for row in made.wiring.FLIPPERS}
    rows = map(windings.winding_of_row, made.host.COILS)
    found = windings.drives(feed, rows, made.wiring.COILS, strong)
    assert len(found) == 3
    for drive in found:
        assert [one.text for one in judge(drive, work_out(drive)) if one.weight == REFUSED] == []
