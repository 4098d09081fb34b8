"""R5 of each drive's on-time stage: by hand, in every command, and refused when no value passes."""

import math

import pytest
from typer.testing import CliRunner

from hil import games
from hil.checks import coils
from hil.command import app
from hil.electrical.sums import on_time
from hil.electrical.sums.drive import Drive, Feed, Hold
from hil.electrical.sums.findings import REFUSED, judge
from hil.electrical.sums.sizing import work_out
from hil.electrical.worksheets.tables import on_time_part


def run(*words):
    return CliRunner().invoke(app, words, standalone_mode=False, catch_exceptions=False)


def drive(**changes):
    facts = {"ohms": 8.0, "feed": Feed(48.0, 0.3), "pulse": 0.030, "period": 10.0, "copper_heat": 60.0}
    return Drive("one", **{**facts, **changes})


def test_what_a_stage_passes_is_what_its_circuit_does_in_steps():
    """Euler's steps of the same circuit, at both corners; not the closed form."""
    for _longest, ohms in on_time.CLASSES:
        for spread, rail, falls, leak, expected in (
            (on_time.SPREAD[0], on_time.RAIL[0], on_time.FALLS[1], -on_time.LEAK, on_time.passes(ohms)[0]),
            (on_time.SPREAD[1], on_time.RAIL[1], on_time.FALLS[0], on_time.LEAK, on_time.passes(ohms)[1]),
        ):
            volts, seconds, step = rail, 0.0, 1e-5
            while volts > falls:
                volts -= (volts / ohms - leak) / (on_time.FARADS * spread) * step
                seconds += step
            assert seconds == pytest.approx(expected, rel=1e-3)


def test_a_buffer_that_leaks_more_would_hold_the_largest_resistor_s_drive_on(monkeypatch):
    monkeypatch.setattr(on_time, "LEAK", 5e-6)
    assert on_time.passes(470e3)[1] == math.inf


@pytest.mark.parametrize(
    ("changes", "value"),
    [
        ({"pulse": 0.060}, "100 kΩ"),
        ({"longest": 0.070}, "200 kΩ"),
        ({"longest": 0.150}, "470 kΩ"),
        ({"hold": Hold(0.1)}, "100 kΩ"),
        ({"forever": True}, on_time.LINK),
        ({"longest": 0.120, "bears": 400.0}, "200 kΩ"),
        ({"longest": 60.0, "bears": 400.0}, on_time.LINK),
    ],
)
def test_the_smallest_resistor_that_passes_the_longest_pulse_is_taken(changes, value):
    assert str(drive(**changes).stage) == value


def test_a_pulse_that_no_value_passes_is_refused():
    said = [
        one.text for one in judge(drive(longest=0.3), work_out(drive(longest=0.3))) if one.weight == REFUSED
    ]
    assert any(
        "may be on for 300 ms; its drive's on-time stage passes 264 ms at most" in text for text in said
    )
    done = run("coil", "one", "--ohms", "8", "--gauge", "22", "--fuse", "0.8 slow", "--longest", "300")
    assert (done.return_value, "on-time stage passes 264 ms at most" in done.output.replace("\n", " ")) == (
        1,
        True,
    )


@pytest.mark.parametrize("name", ["honey_flow", "kit_room", "kite_day"])
def test_each_coil_s_stage_passes_its_table_and_is_on_the_sheet_and_in_the_check(name, tmp_path):
    game = games.load(name)
    found = coils.stages(game)
    assert run("wiring", name, "--out", str(tmp_path)).return_value == 0
    text = (tmp_path / "wiring.md").read_text(encoding="utf-8")
    sheet = text.partition("## Coils")[2].partition("## Displays")[0]
    checked = run("check", name, "--games", "0").output
    (line,) = [one for one in checked.splitlines() if "on-time stage, R5: " in one]
    for coil, _kind, pulse, longest, _rest, number in game.wiring.COILS:
        stage = found[coil]
        assert stage.least * 1000 >= max(pulse, longest) or not stage.ohms
        assert bool(stage.ohms) == (pulse > 0)
        (row,) = [one for one in sheet.splitlines() if one.startswith(f"| {coil} | ")]
        assert row.endswith(f"| {on_time_part(number, stage)} |")
        if stage.ohms != 100e3:
            assert coil in line
    assert "100 kΩ for the other" in line


def test_the_designators_are_those_of_the_circuit():
    from hil.electrical.circuit.sheets import circuit

    whole = circuit()
    for number in range(1, 27):
        resistor = whole[on_time_part(number, on_time.STAGES[0]).split()[0]]
        assert (resistor.size, resistor.unit) == (on_time.STAGES[0].ohms, number)
        link = whole[on_time_part(number, on_time.Stage()).partition(":")[0]]
        assert (link.size, link.unit) == (on_time.FARADS, number)
