"""Fuses that have to melt, in ngspice, with both relays welded shut."""

import shutil

import pytest

from hil.electrical.circuit import melting, values
from hil.electrical.circuit.fault_runs import judge
from hil.electrical.circuit.sheets import circuit

RUNS = {run.name: run for run in melting.melting_runs()}
simulated = pytest.mark.skipif(
    not shutil.which("ngspice"), reason="there is no 'ngspice' command (Debian: ngspice)"
)


@simulated
@pytest.mark.slow
@pytest.mark.parametrize("name", RUNS)
def test_the_fuse_opens_in_time_and_its_path_outlives_it(name):
    assert judge(RUNS[name], circuit()) == []


@simulated
@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "mark", "melts", "words"),
    [
        ("a drive shorted, relays welded: the coil's fuse", "F301", 400.0, "the coil's fuse is open"),
        ("the bus shorted, a supply without a limit: the bus's fuse", "F201", 9000.0, "fuse is open"),
    ],
)
def test_a_fuse_that_melts_too_late_is_seen(name, mark, melts, words):
    run = RUNS[name]
    spoilt = run.change(circuit())
    late = spoilt.changed(mark, ratings={**spoilt[mark].ratings, "melts": melts})
    found = judge(type(run)(run.name, run.must, lambda _circuit: late, run.stimuli, stop=run.stop), circuit())
    assert any(words in sentence for sentence in found), found


@simulated
@pytest.mark.slow
def test_without_the_pre_charge_resistor_a_shorted_bus_is_fed_on():
    run = RUNS["the bus shorted before the coil fuses"]
    changed = run.change(circuit()).changed("R201", size=1.0)
    found = judge(
        type(run)(run.name, run.must, lambda _circuit: changed, run.stimuli, stop=run.stop), circuit()
    )
    assert any("pre-charge resistor limits it" in sentence for sentence in found), found


def test_tracks_and_relays_bear_more_than_the_fuses_before_them_let_through():
    assert melting.drive_track() > 2 * melting.coil_fuse_melts()[1]
    assert melting.bus_track() > 2 * values.MAIN_FUSE_MELTS[1]
    assert melting.RELAY_SQUARES > values.MAIN_FUSE_MELTS[0] > melting.coil_fuse_melts()[1]
