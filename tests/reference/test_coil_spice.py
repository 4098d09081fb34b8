"""The coil sums against ngspice, another program that knows nothing of their closed forms."""

import shutil

import pytest

from hil.electrical.sums import clamp, copper, current, heat, netlist, supply
from hil.electrical.sums.current import Loop
from hil.electrical.sums.feed import Feed

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="there is no ngspice command (Debian: apt-get install ngspice)"
)

TOLERANCE = 1e-3
COILS = [(50.0, 4.0, 0.020), (24.0, 8.0, 0.030), (70.0, 3.0, 0.012), (36.0, 12.0, 0.045)]
ON = 0.040


def close(value):
    return pytest.approx(value, rel=TOLERANCE, abs=1e-5)


@pytest.mark.parametrize(("volts", "ohms", "henries"), COILS)
def test_rise_and_fall_through_a_diode(volts, ohms, henries):
    loop = Loop(ohms, henries)
    seen = netlist.run(
        netlist.coil(volts, ohms, henries, ON, 0.7),
        ["rise5 find i(vcoil) at=5m", "rise10 find i(vcoil) at=10m", "fall5 find i(vcoil) at=45m"],
    )
    end = current.rise(volts, loop, ON)
    assert seen["rise5"] == close(current.rise(volts, loop, 0.005))
    assert seen["rise10"] == close(current.rise(volts, loop, 0.010))
    assert seen["fall5"] == close(current.fall(end, 0.7, loop, 0.005))


@pytest.mark.parametrize(("volts", "ohms", "henries"), COILS)
@pytest.mark.parametrize("zener", [20.0, 47.0])
def test_release_into_a_zener(volts, ohms, henries, zener):
    loop = Loop(ohms, henries)
    seen = netlist.run(
        netlist.coil(volts, ohms, henries, ON, zener, stop=0.06),
        [
            "peak max v(d)",
            "gone when i(vcoil)=1m fall=1",
            "charge integ i(vclamp) from=40m to=60m",
            "squares integ par('i(vcoil)*i(vcoil)') from=0 to=60m",
        ],
    )
    end = current.rise(volts, loop, ON)
    assert seen["peak"] == close(clamp.drain_peak(volts, zener))
    assert seen["gone"] - ON == close(current.release(end, zener, loop, 1e-3))
    assert abs(seen["charge"]) * zener == close(clamp.zener_energy(end, zener, loop))
    assert seen["squares"] == close(
        current.squares_rise(volts, loop, ON) + current.squares_fall(end, zener, loop)
    )


@pytest.mark.parametrize(("volts", "ohms", "henries"), COILS)
@pytest.mark.parametrize("duty", [0.10, 0.25])
@pytest.mark.parametrize("back", [0.7, 47.0])
def test_hold_by_pwm(volts, ohms, henries, duty, back):
    loop = Loop(ohms, henries)
    last = round(12 * loop.tau * 1000) / 1000  # settled by then
    span = f"from={last + 1e-6!r} to={last + 1e-3 + 1e-6!r}"
    seen = netlist.run(
        netlist.coil(volts, ohms, henries, duty * 1e-3, back, 1e-3, stop=last + 2e-3),
        [
            f"high max i(vcoil) {span}",
            f"low min i(vcoil) {span}",
            f"mean avg i(vcoil) {span}",
            f"eff rms i(vcoil) {span}",
        ],
    )
    ripple = current.pwm(volts, loop, duty, 1000, back)
    assert seen["high"] == close(ripple.peak)
    assert seen["low"] == pytest.approx(ripple.valley, rel=TOLERANCE, abs=1e-4)
    assert seen["mean"] == pytest.approx(ripple.mean, rel=TOLERANCE)
    assert seen["eff"] == pytest.approx(ripple.effective, rel=TOLERANCE)


@pytest.mark.parametrize(("volts", "farads", "ohms"), [(70.0, 4700e-6, 1000.0), (77.0, 5640e-6, 3554.0)])
def test_reservoir_on_its_bleeder(volts, farads, ohms):
    tank = supply.Reservoir(volts, farads)
    seen = netlist.run(
        netlist.discharge(volts, farads, ohms, 60), ["soon find v(c) at=50m", "safe when v(c)=10 fall=1"]
    )
    assert seen["soon"] == close(tank.after(ohms, 0.05))
    assert seen["safe"] == close(tank.seconds_to(10, ohms))


@pytest.mark.parametrize(("volts", "ohms", "joules"), [(50.0, 4.0, 38.5), (55.0, 8.0, 26.5)])
def test_winding_at_constant_voltage(volts, ohms, joules):
    times = (1, 5, 10)
    seen = netlist.run(
        netlist.heating(volts, ohms, joules, copper.ALPHA_20, 11), [f"t{t} find v(t) at={t}" for t in times]
    )
    for t in times:
        assert seen[f"t{t}"] == close(heat.warm(volts, ohms, joules, t, 20) - 20)


@pytest.mark.parametrize("source", [0.5, 1.5])
def test_supply_dip(source):
    circuit = "\n".join(
        ["dip", "vdd s 0 50", f"rs s a {source}", "r1 a 0 3", "r2 a 0 3", "r3 a 0 4", ".tran 1m 10m"]
    )
    seen = netlist.run(circuit, ["left find v(a) at=5m"])
    assert seen["left"] == close(supply.dip(50, source, (3, 3, 4)))


# 24 windings of common practice: volts, ohms at 20 °C, mH, AWG. Pulsed for 30 ms, zener of 23.2 V.
WINDINGS = [
    (volts, ohms, mh, gauge)
    for volts in (24.0, 36.0, 48.0, 70.0)
    for ohms, mh, gauge in (
        (2.5, 10.0, 22),
        (4.0, 20.0, 24),
        (6.0, 30.0, 25),
        (8.0, 40.0, 26),
        (15.0, 80.0, 28),
        (120.0, 900.0, 32),
    )
]
# Ω per 1000 ft at 20 °C (Floyd, Electric Circuit Fundamentals, 2nd ed., read).
HANDBOOK = {22: 16.14, 24: 25.67, 25: 32.37, 26: 40.81, 28: 64.9, 32: 164.1}
PULSE = 0.030
BACK = 23.2


def of_winding(volts, ohms, mh, gauge):
    """The sums and ngspice's figures of one winding, by name, and the heat capacity by the handbook."""
    loop = Loop(ohms, mh / 1e3)
    end = current.rise(volts, loop, PULSE)
    seen = netlist.run(
        netlist.coil(volts, ohms, mh / 1e3, PULSE, BACK, stop=0.09),
        [
            f"end find i(vcoil) at={PULSE - 1e-6!r}",
            "drain max v(d)",
            "squares integ par('i(vcoil)*i(vcoil)') from=0 to=90m",
        ],
    )
    joules = copper.heat_of_winding(ohms, gauge)
    locked = heat.warm(volts, ohms, joules, 1, 20) - 20
    warmed = netlist.run(netlist.heating(volts, ohms, joules, copper.ALPHA_20, 2), ["t1 find v(t) at=1"])
    metres = ohms / (HANDBOOK[gauge] / 304.8)
    by_book = copper.HEAT * metres * copper.RHO_20 / (HANDBOOK[gauge] / 304.8)
    pairs = {
        "A after 30 ms": (end, seen["end"]),
        "V at the drain": (clamp.drain_peak(volts, BACK), seen["drain"]),
        "A²s of a pulse": (
            current.squares_rise(volts, loop, PULSE) + current.squares_fall(end, BACK, loop),
            seen["squares"],
        ),
        "K in 1 s locked on": (locked, warmed["t1"]),
        "J/K by the handbook's wire": (joules, by_book),
    }
    return pairs


@pytest.mark.parametrize(("volts", "ohms", "mh", "gauge"), WINDINGS)
def test_a_winding_as_ngspice_and_the_handbook_have_it(volts, ohms, mh, gauge):
    for name, (ours, theirs) in of_winding(volts, ohms, mh, gauge).items():
        assert ours == pytest.approx(theirs, rel=TOLERANCE), name


def test_an_unsmoothed_supply_of_34_volts_peaks_at_the_drain_as_ngspice_has_it():
    """34 V RMS at high mains, rectified: released at a peak of the half-waves."""
    feed = Feed(34.0, smoothed=False)
    high = feed.peak * 1.1
    circuit = netlist.coil(34.0, 4.0, 0.020, 0.025, BACK, stop=0.06).splitlines()
    (source,) = [at for at, line in enumerate(circuit) if line.startswith("vdd ")]
    circuit[source] = f"bs s 0 v=abs({high!r}*sin(314.159265*time))"
    seen = netlist.run("\n".join(circuit), ["peak max v(d)"])
    assert seen["peak"] == pytest.approx(clamp.drain_peak(high, BACK), rel=0.01)
    assert seen["peak"] == pytest.approx(76.0, abs=0.5)
