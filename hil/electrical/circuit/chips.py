"""Pinouts of the chips, from memory: check the data sheet of what you buy.

A chip is a row of (number, name, kind) and the highest volts its inputs bear; `place` puts it on nets.
"""

from firmware.base.errors import UsageError
from hil.electrical.circuit.parts import (
    BOTH,
    INPUT,
    NOWHERE,
    OPEN,
    OUTPUT,
    PASSIVE,
    SOURCE,
    SUPPLY,
    TRISTATE,
    UNUSED,
    Part,
    Pin,
)

Pinout = tuple[tuple[str, str, str], ...]


def _pinout(*rows: str) -> Pinout:
    """Rows of "number name kind"; a kind is written with one letter."""
    letters = {"i": INPUT, "o": OUTPUT, "t": TRISTATE, "c": OPEN, "b": BOTH, "s": SUPPLY, "g": SOURCE}
    letters.update({"p": PASSIVE, "n": UNUSED})
    found = []
    for row in " ".join(rows).split(","):
        number, name, kind = row.split()
        found.append((number, name, letters[kind]))
    return tuple(found)


ONE_SHOTS = _pinout(
    "1 /1A i,2 1B i,3 /1R i,4 /1Q o,5 2Q o,6 2CX p,7 2RX p,8 GND s,",
    "9 /2A i,10 2B i,11 /2R i,12 /2Q o,13 1Q o,14 1CX p,15 1RX p,16 VCC s",
)
REGISTER = _pinout(
    "1 QB t,2 QC t,3 QD t,4 QE t,5 QF t,6 QG t,7 QH t,8 GND s,",
    "9 QH' o,10 /SRCLR i,11 SRCLK i,12 RCLK i,13 /OE i,14 SER i,15 QA t,16 VCC s",
)
INPUTS = _pinout(
    "1 SH/LD i,2 CLK i,3 E i,4 F i,5 G i,6 H i,7 /QH o,8 GND s,",
    "9 QH o,10 SER i,11 A i,12 B i,13 C i,14 D i,15 INH i,16 VCC s",
)
BUFFERS = _pinout(
    "1 /1OE i,2 1A i,3 1Y t,4 /2OE i,5 2A i,6 2Y t,7 GND s,",
    "8 3Y t,9 3A i,10 /3OE i,11 4Y t,12 4A i,13 /4OE i,14 VCC s",
)
GATE = _pinout("1 NC n,2 A i,3 GND s,4 Y o,5 VCC s")
OR_GATE = _pinout("1 A i,2 B i,3 GND s,4 Y o,5 VCC s")
SUPERVISOR = _pinout("1 /RST c,2 VDD s,3 VSS s")
AMPLIFIER = _pinout("1 OUT o,2 GND s,3 IN+ i,4 IN- i,5 V+ s")
SHUNT = _pinout("1 REF i,2 A p,3 K p")
MEMORY = _pinout("1 A0 i,2 A1 i,3 A2 i,4 VSS s,5 SDA b,6 SCL i,7 WP i,8 VDD s")

CHIPS = {
    # value: (pinout, least and highest supply in V, highest volts of an input in V; None: supply + 0.5)
    "74HCT423": (ONE_SHOTS, 4.5, 5.5, None),
    "74HCT123": (ONE_SHOTS, 4.5, 5.5, None),  # not for a guard: see rules
    "74HCT595": (REGISTER, 4.5, 5.5, None),
    "74HC165": (INPUTS, 2.0, 6.0, None),
    "74HCT125": (BUFFERS, 4.5, 5.5, None),
    "74LVC1G17": (GATE, 1.65, 5.5, 5.5),
    "74HCT1G14": (GATE, 4.5, 5.5, None),
    "74HCT1G32": (OR_GATE, 4.5, 5.5, None),
    "supervisor 4.5 V": (SUPERVISOR, 1.0, 5.5, 5.5),
    "INA180A2": (AMPLIFIER, 2.7, 5.5, 26.0),
    "TL431": (SHUNT, 0.0, 36.0, 36.0),
    "FM24CL64B": (MEMORY, 2.7, 3.65, None),
}
VOLTS = {"5V": 5.0, "3V3": 3.3}


def place(mark: str, value: str, nets: dict[str, str], why: str = "", value_note: str = "") -> Part:
    """A chip with its pins on `nets`, by pin name; pins left out are connected to nothing.

    Raises UsageError: no such chip, or a pin that it does not have.
    """
    if value not in CHIPS:
        raise UsageError(f"there is no chip '{value}'; there are {', '.join(CHIPS)}")
    pinout, _least, most, input_most = CHIPS[value]
    strangers = set(nets) - {name for _number, name, _kind in pinout}
    if strangers:
        raise UsageError(f"{mark}, a {value}, has no pin '{min(strangers)}'")
    supply = next((nets.get(name, "") for name in ("VCC", "VDD", "V+") if name in nets), "")
    bears = VOLTS.get(supply, most) + 0.5 if input_most is None else input_most
    pins = [
        Pin(number, name, kind, nets.get(name, NOWHERE), most if kind == SUPPLY else bears)
        for number, name, kind in pinout
    ]
    return Part(mark, "chip", f"{value}{value_note}", tuple(pins), {"V": most}, why=why)


def model_of(part: Part) -> str:
    """The name in CHIPS of a chip's value, which may carry a note."""
    return next(name for name in CHIPS if part.value.startswith(name))
