"""The reference circuit's values hold by the sums, and its sheets can be read."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest

from hil.electrical.circuit import values
from hil.electrical.circuit.sheets import SHEETS, circuit
from hil.electrical.sums import clamp, fuse, supply
from hil.electrical.sums.drive import Drive, Feed, Hold, heat_of
from hil.electrical.sums.findings import REFUSED, judge
from hil.electrical.sums.sizing import work_out

HC_HIGH = values.INPUT_HIGH
HC_LOW = values.INPUT_LOW


def reference(**changes):
    facts = {
        "ohms": values.COIL_OHMS,
        "feed": Feed(values.COIL_SUPPLY, 0.3),
        "pulse": 0.030,
        "period": 3.0,
        "henries": values.COIL_HENRIES,
        "copper_heat": heat_of(values.COIL_OHMS, values.COIL_GAUGE, None),
        "insulation": values.COIL_INSULATION,
        "clamp": "zener",
        "zener": values.CLAMP_VOLTS,
        "rating": values.MOSFET_VOLTS,
        "on_ohms": values.MOSFET_OHMS,
        "fuse": fuse.parse(values.COIL_FUSE),
    }
    return Drive("reference", **{**facts, **changes})


def test_nothing_about_the_pulsed_drive_is_refused():
    drive = reference()
    assert [str(f) for f in judge(drive, work_out(drive)) if f.weight == REFUSED] == []


def test_nothing_about_the_held_drive_is_refused():
    drive = reference(clamp="diode", hold=Hold(0.10))
    assert [str(f) for f in judge(drive, work_out(drive)) if f.weight == REFUSED] == []


def test_the_drain_stays_below_four_fifths_of_its_rating():
    peak = clamp.drain_peak(values.COIL_SUPPLY * 1.1, values.CLAMP_VOLTS + 0.7)
    assert peak <= clamp.MARGIN * values.MOSFET_VOLTS


def test_the_guard_outlasts_the_feed_and_drops_in_5_to_10_ms():
    shortest, longest = values.guard_seconds()
    assert shortest > 2 * values.FEED_PERIOD
    assert 0.005 <= shortest < longest <= 0.010


def test_the_supply_guard_is_slower():
    assert values.supply_seconds()[0] > 5 * values.guard_seconds()[1]


def test_lamps_blank_later_than_a_column_lasts():
    shortest, longest = values.lamp_seconds()
    assert 0.001 < shortest < longest < 0.005


def test_the_bleeders_are_small_enough_at_the_worst_corner():
    nominal = supply.Reservoir(values.COIL_SUPPLY, values.RESERVOIR)
    worst = nominal.worst()
    assert supply.bleeder(nominal) >= values.BLEEDER
    assert worst.seconds_to(supply.SAFE, values.BLEEDER) <= supply.SAFE_SECONDS
    assert worst.watts(values.BLEEDER) <= 5 / 2
    assert worst.watts(values.BUS_DISCHARGE) <= 5 / 2
    assert worst.volts <= 0.8 * values.RESERVOIR_RATING


def test_the_drain_reads_high_when_off_and_low_when_on():
    assert values.drain_reads(values.COIL_SUPPLY * 0.7) > HC_HIGH * values.PICO
    on = values.COIL_SUPPLY * 1.1 / values.COIL_OHMS * values.MOSFET_OHMS
    assert values.drain_reads(on) < HC_LOW * values.PICO


def test_the_loop_back_reads_high_without_more_than_the_pico_bears():
    high = values.LOGIC * 1.05 * values.BACK_LOWER / (values.BACK_UPPER + values.BACK_LOWER)
    assert 2.0 < high < values.PICO + 0.3  # RP2040: 2.0 V reads high at 3.3 V, at most 0.5 V above it (mem)


def test_switches_read_and_are_wetted():
    assert values.switch_open() > HC_HIGH * values.PICO
    assert values.switch_open() < values.PICO
    assert values.switch_closed() < HC_LOW * values.PICO
    assert 0.005 <= values.wetting_amperes() <= 0.020


@pytest.fixture(scope="module")
def sheets():
    pytest.importorskip("schemdraw")
    from hil.electrical.drawings.layout import sheet

    return {name: sheet(circuit(), name) for name in SHEETS}


def test_a_sheet_shows_every_connection_of_its_parts_and_nothing_else(sheets):
    from hil.electrical.drawings.layout import drawn

    whole = circuit()
    for name, sheet in sheets.items():
        expected = {(part.mark, p.number): p.net for part in drawn(whole, name) for p in part.pins if p.net}
        assert {end: sheet.names[point] for end, point in sheet.ends.items()} == {
            end: {net} for end, net in expected.items()
        }
        assert set(sheet.names) == set(sheet.ends.values())
        written = {words for *_place, words in sheet.texts}
        assert set(expected.values()) <= written


def test_every_part_is_drawn_or_is_like_one_that_is(sheets):
    whole = circuit()
    seen = {mark for sheet in sheets.values() for mark, _pin in sheet.ends}
    alike = {part.mark for part in whole.parts.values() if part.unit}
    assert set(whole.parts) - seen <= alike


def test_no_two_texts_of_a_sheet_overlap(sheets):
    for name, sheet in sheets.items():
        for one, other in combinations(sheet.texts, 2):
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (name, one[4], other[4])


def test_the_sheets_are_drawings_with_everything_inside(sheets):
    for name, sheet in sheets.items():
        root = ET.fromstring(sheet.svg())
        x, y, width, height = (float(n) for n in root.attrib["viewBox"].split())
        texts = [e for e in root.iter() if e.tag.endswith("text")]
        assert len(texts) > 10, name
        for text in texts:
            assert x <= float(text.attrib["x"]) <= x + width
            assert y <= float(text.attrib["y"]) <= y + height


def test_the_stored_sheets_are_those_the_source_makes(sheets):
    from pathlib import Path

    import boards

    stored = Path(boards.__path__[0]) / "pico_matrix" / "drawings"
    for name, sheet in sheets.items():
        there = (stored / f"{name}.svg").read_text(encoding="utf-8")
        assert _words(there) == _words(sheet.svg()), name


def _words(text):
    """What it says: coordinates may differ in a digit between versions of schemdraw."""
    return re.sub(r"<[^>]*>", " ", text).split()
