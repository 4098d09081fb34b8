"""The circuits as netlists for ngspice, to check the calculations with another program."""

import math
import re
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from firmware.base.errors import UsageError

# A diode that drops 0.7 V whatever the current, as the closed forms take it.
IDEAL = ".model ideal d(is=1e-12 n=0.002 rs=0)"
SWITCH = ".model switch sw(vt=0.5 vh=0 ron=1e-4 roff=1e8)"

# Hard switching now and then drives ngspice's time step to nought; another method then gets through.
EDGE = 1e-7  # s; the switch acts at half of it
METHODS = (
    ".options method=gear reltol=1e-5 abstol=1e-10 itl4=100",
    ".options method=gear reltol=1e-6 abstol=1e-10",
    ".options method=trap reltol=1e-5 itl4=200",
)


def coil(
    volts: float, ohms: float, henries: float, on: float, back: float, period: float = 0.0, stop: float = 0.05
) -> str:
    """A low-side switched coil with a clamp of `back` volts to the supply; PWM when `period` is given.

    Node d is the drain, i(vcoil) the coil's current, i(vclamp) the clamp's.
    """
    again = period or 10 * stop
    return "\n".join(
        [
            "coil, clamp to the supply, low-side switch",
            f"vdd s 0 {volts!r}",
            "vcoil s a 0",
            f"r1 a b {ohms!r}",
            f"l1 b d {henries!r} ic=0",
            "s1 d 0 g 0 switch",
            f"vg g 0 pulse(0 1 0 {EDGE!r} {EDGE!r} {on - EDGE!r} {again!r})",
            "d1 d k ideal",
            f"vclamp k s {back!r}",
            IDEAL,
            SWITCH,
            f".tran {stop / 50000!r} {stop!r} 0 {stop / 8000!r} uic",
        ]
    )


def discharge(volts: float, farads: float, ohms: float, stop: float) -> str:
    """A reservoir capacitor on its bleeder; node c."""
    return "\n".join(
        [
            "reservoir and bleeder",
            f"c1 c 0 {farads!r} ic={volts!r}",
            f"r1 c 0 {ohms!r}",
            f".tran {stop / 20000!r} {stop!r} 0 {stop / 5000!r} uic",
        ]
    )


def heating(volts: float, ohms: float, heat: float, alpha: float, stop: float) -> str:
    """A winding at constant voltage; node t is its rise in kelvin, as volts on a capacitor of `heat`."""
    return "\n".join(
        [
            "winding at constant voltage",
            f"b1 0 t i = {volts!r}*{volts!r}/({ohms!r}*(1+{alpha!r}*v(t)))",
            f"c1 t 0 {heat!r} ic=0",
            "r1 t 0 1e12",
            f".tran {stop / 20000!r} {stop!r} 0 {stop / 5000!r} uic",
        ]
    )


def run(netlist: str, measures: Sequence[str]) -> dict[str, float]:
    """Run ngspice; results by name of `measures` ("NAME find i(vcoil) at=5m", …). Raises UsageError."""
    program = shutil.which("ngspice")
    if not program:
        raise UsageError("there is no 'ngspice' command; Debian's package is called ngspice")
    output = ""
    for method in METHODS:
        output = _run(
            program, "\n".join([netlist, method, *(f".meas tran {m}" for m in measures), ".end", ""])
        )
        if "aborted" not in output:
            break
    return {name: _read(name, output) for name in (measure.split()[0] for measure in measures)}


def _run(program: str, text: str) -> str:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "circuit.cir"
        path.write_text(text, encoding="ascii")
        done = subprocess.run([program, "-b", str(path)], capture_output=True, text=True, timeout=300)
    return done.stdout + done.stderr


def _read(name: str, output: str) -> float:
    found = re.search(rf"^{name.lower()}\s+=\s+(\S+)", output, re.MULTILINE | re.IGNORECASE)
    if not found:
        raise UsageError(f"ngspice gave no '{name}': {output.strip().splitlines()[-1:]}")
    value = float(found.group(1))
    if not math.isfinite(value):
        raise UsageError(f"ngspice gave {value} for '{name}'")
    return value
