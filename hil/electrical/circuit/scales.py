"""What the board's code has to know of the circuit, as the module of integers that it imports.

Scales of the converter's channels, and the coil bus from which drains are judged, from the parts themselves.
"""

from firmware.base.errors import UsageError
from hil.electrical.circuit import values
from hil.electrical.circuit.netlist import Circuit

MODULE = "circuit_values.py"
BUS_LEAST = 12.0  # V of the lowest coil supply that the board is for,
BUS_MOST = 60.0  # and of the highest
SAG = 0.8  # of the coil bus is left while coils are on
MARGIN = 1.5  # judged from so many times the volts at which the worst read-back is high
LARGEST = (1 << 30) // 4096  # a full scale above it does not fit the callback's integers

TEXT = '''"""What the circuit makes of volts and amperes, as `inlane circuit` finds it in the netlist.

A drain reads high from {high:,} mV on, and low up to {low:,} mV.
"""

COIL_FULL_MV = {coil}  # coil bus,
LOGIC_FULL_MV = {logic}  # 5 V rail
FULL_MA = {amperes}  # and coil current at the converter's full scale, 4096
JUDGED_MV = {judged}  # coil bus from which drains are judged
'''


def text(circuit: Circuit) -> str:
    """The module's source. Raises UsageError: a part is missing, or no threshold holds from 12 to 60 V."""
    low, high = _thresholds(circuit)
    return TEXT.format(
        low=round(low * 1000),
        high=round(high * 1000),
        coil=_full("COIL_BUS", values.PICO * _divider(circuit, "COIL_BUS", "COIL_VOLTS")),
        logic=_full("5V", values.PICO * _divider(circuit, "5V", "LOGIC_VOLTS")),
        amperes=_full(
            "COIL_AMPERES", values.PICO / (values.SHUNT_GAIN * _resistor(circuit, "COIL_0V", "0V"))
        ),
        judged=_judged(low, high),
    )


def _judged(low: float, high: float) -> int:
    """Millivolts, in whole volts."""
    judged = -int(-high * MARGIN // 1)
    if judged > BUS_LEAST * SAG:
        raise UsageError(
            f"drains are high from {high:.1f} V on, to be judged from {judged} V: "
            f"too much for a coil bus of {BUS_LEAST:g} V"
        )
    on = BUS_MOST / values.LEAST_OHMS * values.MOSFET_OHMS
    if on > low:
        raise UsageError(
            f"a drain that is on has {on:.1f} V at {BUS_MOST:g} V, and is low up to {low:.1f} V only"
        )
    return judged * 1000


def _thresholds(circuit: Circuit) -> tuple[float, float]:
    """Drain volts up to which every read-back is low, and from which every one is high."""
    drains = [net.partition("_")[2] for net in circuit.nets() if net.startswith("BACK_")]
    ratios = [_divider(circuit, f"DRAIN_{drive}", f"BACK_{drive}") for drive in drains]
    if not ratios:
        raise UsageError("the circuit reads no drain back")
    return values.INPUT_LOW * values.PICO * min(ratios), values.INPUT_HIGH * values.PICO * max(ratios)


def _divider(circuit: Circuit, top: str, tap: str) -> float:
    """Volts at `top` for each volt at `tap`."""
    lower = _resistor(circuit, tap, "0V")
    return (_resistor(circuit, top, tap) + lower) / lower


def _resistor(circuit: Circuit, one: str, other: str) -> float:
    """Ohms between two nets. Raises UsageError unless one resistor, and only one, lies between them."""
    found = [
        p for p, _ in circuit.on(one) if p.kind == "resistor" and {pin.net for pin in p.pins} == {one, other}
    ]
    if len(found) != 1:
        raise UsageError(f"{len(found)} resistors lie between {one} and {other}; one is asked for")
    return found[0].size


def _full(name: str, full: float) -> int:
    """In thousandths. Raises UsageError for what the callback cannot multiply."""
    found = round(full * 1000)
    if found > LARGEST:
        raise UsageError(f"{name} has a full scale of {found:,}; the callback takes {LARGEST:,} at most")
    return found
