"""The coil sums against other people's figures.

Tags: ran = computed with another program or by hand while the figure was collected; read = read in a
stored copy of the named page; mem = from memory. No paid standard was read in the original.
"""

import pytest

from hil.electrical.sums import clamp, copper, current, fuse, heat, supply, track
from hil.electrical.sums.current import Loop

COIL = Loop(4.0, 0.020)
VOLTS = 50.0
END = current.rise(VOLTS, COIL, 0.040)

# Floyd, Electric Circuit Fundamentals, 2nd ed., wire table, Ω per 1000 ft at 20 °C (read).
HANDBOOK = {
    18: "6.385", 20: "10.15", 22: "16.14", 24: "25.67", 25: "32.37", 26: "40.81", 28: "64.9",
    30: "103.2", 31: "130.1", 32: "164.1", 34: "260.9", 36: "414.8", 40: "1049",
}  # fmt: skip


@pytest.mark.parametrize("gauge", HANDBOOK)
def test_wire_resistance_is_the_handbooks(gauge):
    printed = HANDBOOK[gauge]
    last_digit = 10 ** -len(printed.partition(".")[2]) / 2
    assert copper.ohms_per_metre(gauge) * 304.8 == pytest.approx(
        float(printed), abs=last_digit + 3e-4 * float(printed)
    )


def test_copper_at_90_degrees():
    # IEC 60028, α20 = 3.93e-3/K (read)
    assert copper.at(90) == pytest.approx(1.2751, abs=5e-5)


def test_a_winding_by_its_turns():
    # 1000 turns of AWG 26, mean turn 62.8 mm (ran)
    assert copper.winding_ohms(1000, 0.0628, 26) == pytest.approx(8.41, abs=0.005)


@pytest.mark.parametrize(("ms", "amperes"), [(5, 7.9015), (10, 10.8083)])
def test_current_rises(ms, amperes):
    # ngspice 39 (ran)
    assert current.rise(VOLTS, COIL, ms / 1e3) == pytest.approx(amperes, abs=5e-5)


@pytest.mark.parametrize(("ms", "amperes"), [(5, 4.4863), (10, 1.5398)])
def test_current_falls_through_a_diode(ms, amperes):
    # ngspice 39, 0.7 V, on for 40 ms (ran)
    assert current.fall(END, 0.7, COIL, ms / 1e3) == pytest.approx(amperes, abs=5e-5)


def test_a_zener_of_47_volts():
    # ngspice 39: to 1 mA, zener energy, drain peak, ½LI² (ran)
    assert current.release(END, 47, COIL, 1e-3) == pytest.approx(3.6215e-3, abs=1e-6)
    assert clamp.zener_energy(END, 47, COIL) == pytest.approx(0.9363, abs=5e-5)
    assert clamp.drain_peak(VOLTS, 47) == 97
    assert clamp.stored(END, COIL.henries) == pytest.approx(1.5615, abs=1e-4)


def test_pwm_of_a_quarter():
    # ngspice 39, 1 kHz, 0.7 V (ran)
    ripple = current.pwm(VOLTS, COIL, 0.25, 1000)
    assert (ripple.peak, ripple.valley) == (pytest.approx(3.235, abs=5e-4), pytest.approx(2.760, abs=5e-4))


def test_avalanche_of_a_100_volt_switch():
    # bound: a device maker's FAQ (read); true energy (ran)
    assert clamp.avalanche_bound(END, COIL.henries, 100, VOLTS) == pytest.approx(3.123, abs=1e-3)
    assert clamp.avalanche_energy(END, 100, VOLTS, COIL) == pytest.approx(1.917, abs=1e-3)


def test_bleeder_nominal():
    # 4700 µF at 70 V (ran)
    tank = supply.Reservoir(70, 4700e-6)
    assert tank.after(1000, 0.050) == pytest.approx(69.259, abs=5e-4)
    assert tank.joules == pytest.approx(11.5, abs=0.05)
    assert tank.bleeder(60, 5) == pytest.approx(6901, abs=1)
    assert tank.bleeder(60, 1) == pytest.approx(1380, abs=1)
    assert tank.seconds_to(10, 6901) == pytest.approx(63, abs=0.5)


def test_bleeder_at_the_worst_corner():
    # +10 % mains, +20 % capacitance (ran)
    worst = supply.Reservoir(70, 4700e-6).worst()
    assert worst.bleeder(60, 5) == pytest.approx(3554, abs=1)
    assert worst.watts(3554) == pytest.approx(1.7, abs=0.05)
    assert worst.seconds_to(60, 6901) == pytest.approx(9.7, abs=0.05)
    # The 63 s to 10 V quoted beside it hold at the nominal corner; here it is longer.
    assert worst.seconds_to(10, 6901) == pytest.approx(79.4, abs=0.1)
    assert supply.bleeder(supply.Reservoir(70, 4700e-6)) == pytest.approx(2606, abs=1)


def test_adiabatic_factors():
    # IEC 60364-5-54 constants (read); the two factors (ran; the standard's table, mem)
    assert heat.k_factor(70, 160) == pytest.approx(115, abs=0.5)
    assert heat.k_factor(90, 250) == pytest.approx(143, abs=0.5)


@pytest.mark.parametrize(("celsius", "seconds"), [(130, 1.84), (155, 2.20), (180, 2.54)])
def test_wire_at_constant_current(celsius, seconds):
    # AWG 26, 12.5 A, from 25 °C (ran, between the two formulas); Onderdonk's agrees within 1 % (mem)
    found = heat.seconds_at_current(12.5, 26, 25, celsius)
    assert found == pytest.approx(seconds, rel=0.005)
    assert heat.onderdonk(12.5, 26, 25, celsius) == pytest.approx(found, rel=0.01)


@pytest.mark.parametrize(("seconds", "kelvin"), [(1, 15.75), (5, 71.21), (10, 129.42)])
def test_winding_at_constant_voltage(seconds, kelvin):
    # 50 V, 4 Ω cold, 38.5 J/K (ran, ngspice agrees)
    assert heat.warm(50, 4, 38.5, seconds, 20) - 20 == pytest.approx(kelvin, abs=0.01)
    assert heat.warm(50, 4, 38.5, seconds, 20, source=1e-9) - 20 == pytest.approx(kelvin, rel=2e-3)
    assert heat.seconds_at_voltage(50, 4, 38.5, 20, 20 + kelvin) == pytest.approx(seconds, rel=1e-3)


def test_insulation_classes():
    # IEC 60085 (read)
    assert heat.CLASSES == {"Y": 90, "A": 105, "E": 120, "B": 130, "F": 155, "H": 180}


def test_printed_duty():
    # DIN VDE 0580, five-minute cycle (read, a solenoid maker's notes)
    assert heat.PRINTED_DUTY == {5: 15, 15: 45, 25: 75, 40: 120, 60: 180}
    assert [heat.printed_duty(s) for s in (15, 16, 45, 75, 121, 180, 181)] == [5, 15, 15, 25, 60, 60, 100]


def test_fuse_promises():
    # UL 248-14 and IEC 60127 fast (read)
    ul = fuse.Fuse(fuse.UL, 1.0)
    assert [ul.opens_within(x) for x in (1.0, 1.34, 1.35, 2.0)] == [None, None, 3600, 120]
    fast = fuse.Fuse(fuse.FAST, 1.0)
    assert [fast.opens_within(x) for x in (1.5, 2.1, 2.75, 4, 10)] == [None, 1800, 2, 0.3, 0.020]


def test_track_widths():
    # IPC-2221 (read): 10 mil of 1 oz at 10 K, and 5 A (ran)
    assert track.amperes(10) == pytest.approx(0.886, abs=5e-4)
    assert track.amperes(10, layer="inner") == pytest.approx(0.443, abs=5e-4)
    assert track.width_mil(5) == pytest.approx(108.9, abs=0.05)
    assert track.width_mil(5, layer="inner") == pytest.approx(283.2, abs=0.05)


def test_what_may_be_touched():
    # 60 V ripple-free DC, 25 V AC (read); unsmoothed supplies are judged by the AC figure
    assert [supply.hazardous(v) for v in (60, 60.1)] == [False, True]
    assert [supply.hazardous(v, smoothed=False) for v in (25, 25.1)] == [False, True]


def test_hold_winding_and_hold_by_pwm():
    # common practice, no source (mem); amperes and watts ran
    tenth = current.pwm(VOLTS, COIL, 0.10, 1000)
    assert tenth.mean == pytest.approx(1.1, abs=0.05)
    assert tenth.effective**2 * 4 == pytest.approx(4.8, abs=0.1)
    assert current.pwm(VOLTS, COIL, 0.25, 1000).effective ** 2 * 4 == pytest.approx(36, abs=0.5)
    assert current.pwm(VOLTS, COIL, 0.25, 1000, back=47).mean == pytest.approx(0.15, abs=0.005)


def test_supply_dip():
    # two 3 Ω flippers and a 4 Ω bumper on 50 V (ran): 34 V behind 0.5 Ω. Behind 1.5 Ω the figure collected
    # was 20 V; V/(1 + R·G) gives 21.05 V, as ngspice does in test_coil_spice.
    assert supply.dip(50, 0.5, (3, 3, 4)) == pytest.approx(34, abs=0.5)
    assert supply.dip(50, 1.5, (3, 3, 4)) == pytest.approx(21.05, abs=0.01)
