"""Runs ngspice on a deck whose switches and logic jump: coarser than the sums, more ways to converge."""

import math
import re
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from firmware.base.errors import UsageError

METHODS = (
    ".options method=gear reltol=3e-3 abstol=1e-7 vntol=1e-4 chgtol=1e-12 itl4=60",
    ".options method=gear reltol=1e-2 abstol=1e-6 vntol=1e-3 chgtol=1e-11 itl4=200 gmin=1e-10",
    ".options method=trap reltol=5e-3 abstol=1e-6 vntol=1e-3 itl4=200 gmin=1e-9",
)
PATIENCE = 120  # s for one attempt


def program() -> str:
    """The command. Raises UsageError where there is none."""
    found = shutil.which("ngspice")
    if not found:
        raise UsageError("there is no 'ngspice' command; Debian's package is called ngspice")
    return found


def measure(deck: str, measures: Sequence[str]) -> dict[str, float]:
    """Results by name of `measures` ("NAME max v(x) from=… to=…"). Raises UsageError: no result."""
    command = program()
    output = ""
    for method in METHODS:
        text = "\n".join([deck, method, *(f".meas tran {m}" for m in measures), ".end", ""])
        output = _run(command, text)
        if "aborted" not in output:
            return {name: _read(name, output) for name in (m.split()[0] for m in measures)}
    raise UsageError(f"ngspice does not converge: {_last(output)}")


def _run(command: str, text: str) -> str:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "circuit.cir"
        path.write_text(text, encoding="ascii")
        try:
            done = subprocess.run(
                [command, "-b", str(path)], capture_output=True, text=True, timeout=PATIENCE
            )
        except subprocess.TimeoutExpired:
            return f"aborted after {PATIENCE} s"
    return done.stdout + done.stderr


def _read(name: str, output: str) -> float:
    found = re.search(rf"^{name}\s+=\s+(\S+)", output, re.MULTILINE | re.IGNORECASE)
    if not found or not math.isfinite(float(found.group(1))):
        raise UsageError(f"ngspice gave no '{name}': {_last(output)}")
    return float(found.group(1))


def _last(output: str) -> str:
    return " / ".join(output.strip().splitlines()[-3:])
