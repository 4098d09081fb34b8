"""The layout notes: their widths and distances worked out again, star point and returns as in the netlist."""

import math
import re
from pathlib import Path

import pytest

import boards
from hil.electrical.circuit import values
from hil.electrical.circuit.sheets import circuit
from hil.electrical.circuit.volts import highest

NOTES = (Path(boards.__path__[0]) / "pico_matrix/drawings/layout.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| (.+), 2 oz \| ([\d.]+) A \| (\d+) A²s \| ([\d.]+) mm \| ([\d.]+) mm \|$", NOTES, re.M)
THICK = 0.070  # mm of 2 oz


def ipc_mm(amperes):
    """IPC-2221, outer layer, 20 K, 2 oz: I = 0.048·ΔT^0.44·A^0.725, A in square mils."""
    return (amperes / (0.048 * 20**0.44)) ** (1 / 0.725) / (2 * 1.378) * 0.0254


def onderdonk_squares(width):
    """A²s at which a track melts, from 40 °C: (A in circular mils)²·log10(ΔT/(234 + Ta) + 1)/33."""
    mils = width * THICK / (math.pi / 4 * 0.0254**2)
    return mils**2 * math.log10((1083 - 40) / (234 + 40) + 1) / 33


def test_each_width_carries_its_current_for_ever_and_outlives_its_fault():
    assert len(ROWS) == 3
    for name, amperes, squares, alone, take in ROWS:
        assert float(alone) == pytest.approx(ipc_mm(float(amperes)), abs=0.006), name
        assert float(take) >= float(alone) - 0.006, name
        assert onderdonk_squares(float(take)) > 3 * float(squares), name


def test_the_faults_of_the_notes_are_those_of_the_circuit():
    coil, bus, _logic = ROWS
    fuse_s = 3.0  # of a slow fuse from four times its rating on, IEC 60127
    locked = values.COIL_SUPPLY * 1.1 / values.COIL_OHMS
    assert locked > 4 * values.COIL_FUSE_AMPERES
    assert int(coil[2]) == round(locked**2 * fuse_s)
    charge = values.RESERVOIR * 1.2 * (values.COIL_SUPPLY * 1.1) ** 2 / (2 * values.SUPPLY_OHMS_SOURCE)
    assert int(bus[2]) == round(charge)
    assert float(bus[1]) == values.SUPPLY_LIMIT[1]


def test_the_distances_are_those_of_the_highest_volts_and_of_60_volts():
    volts = highest(circuit())
    drain = max(value for net, value in volts.items() if net.startswith("DRAIN_"))
    assert drain == max(volts.values())
    assert f"Drains reach {drain:.0f} V: 1.5 mm" in NOTES
    assert (
        f"1.5 mm around the coil bus ({volts['SUPPLY+']:.1f} V at high mains; the same at the 60 V" in NOTES
    )
    assert volts["SUPPLY+"] >= 51  # IPC-2221's row of 51 to 100 V: 1.5 mm uncoated (mem)
    assert drain <= 100


def test_what_meets_at_the_star_point_is_on_0v_and_the_drives_reach_it_by_the_shunt():
    whole = circuit()
    for mark in ("R208", "R215", "C201", "PS1", "PS2", "PS3"):
        assert "0V" in {pin.net for pin in whole[mark].pins}, mark
    assert "the far end of the shunt R208, the earth link R215" in NOTES
    sources = {part.net("S") for part in whole.parts.values() if part.mark.startswith(("Q3", "Q4"))}
    assert sources == {"COIL_0V"}
    for mark in ("U101", "U102", "C101", "C102", "U201", "R208"):
        assert mark in NOTES
        assert whole[mark]
