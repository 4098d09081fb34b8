"""The highest and lowest volts a net can have to 0 V, from what drives it; for the rules about ratings."""

import re

from hil.electrical.circuit import values
from hil.electrical.circuit.netlist import Circuit

HIGH = values.HIGH_MAINS
RAILS = {
    "0V": 0.0,
    "COIL_0V": 0.0,
    "PE": 0.0,
    "5V": values.rail_clamp() * 1.02,  # held by the shunt regulator, 1 % each for reference and divider
    "3V3": 3.3 * 1.05,
    "12V": 12 * 1.05,
    "5V_IN": 5.25,
    "12V_IN": 12 * 1.05,
    "VSYS": values.rail_clamp() * 1.02 - 0.2,
    "SUPPLY+": values.high_volts(),
    "RELAY_LOW": 12 * 1.05 + values.RELAY_ZENER * 1.05 + 0.7,
    "RELAY_CLAMP": 12 * 1.05 + values.RELAY_ZENER * 1.05,
}
# What passes the volts of one end to the other: pairs of pins, by their place.
PASSING = {
    "fuse": ((0, 1),),
    "switch": ((0, 1),),
    "relay": ((2, 3),),
    "door switch": ((0, 1), (2, 3)),
    "p mosfet": ((1, 2),),  # drain and source
}
SWEEPS = 2000


def highest(circuit: Circuit) -> dict[str, float]:
    """Highest volts of every net that rails, outputs, contacts and resistors determine."""
    found = {net: RAILS[net] for net in circuit.nets() if net in RAILS}
    _inductive(circuit, found)
    _outputs(circuit, found)
    _contacts(circuit, found)
    _resistors(circuit, found)
    return found


def _inductive(circuit: Circuit, found: dict[str, float]) -> None:
    """Drains rise above the bus by what is between drain and supply in the clamp."""
    for net in circuit.nets():
        if re.fullmatch(r"DRAIN_\d+|CLAMP_\d+", net):
            zener = any(part.kind == "suppressor" for part, _ in circuit.on(net.replace("DRAIN", "CLAMP")))
            found[net] = values.drain_peak() if zener else values.high_volts() + 1.5


def _outputs(circuit: Circuit, found: dict[str, float]) -> None:
    """An output reaches its chip's supply."""
    for part in circuit.parts.values():
        if part.kind != "chip":
            continue
        supply = _supply_of(part.mark, circuit, found)
        for pin in part.pins:
            if pin.kind in ("output", "tristate", "both") and pin.net and pin.net not in RAILS:
                found[pin.net] = max(found.get(pin.net, 0.0), supply)


def _supply_of(mark: str, circuit: Circuit, found: dict[str, float]) -> float:
    if mark == "A701":
        return found.get("3V3", 3.3)
    names = ("VCC", "VDD", "V+")
    nets = [pin.net for pin in circuit[mark].pins if pin.name in names]
    return found.get(nets[0], 0.0) if nets else 0.0


def _contacts(circuit: Circuit, found: dict[str, float]) -> None:
    """A fuse, a contact or a coil passes the volts of its other end."""
    pairs = [
        (part.pins[one].net, part.pins[other].net)
        for part in circuit.parts.values()
        for one, other in PASSING.get(part.kind, ())
    ]
    for _ in pairs:
        before = len(found)
        for one, other in pairs:
            if one in found and other and other not in found:
                found[other] = found[one]
            elif other in found and one and one not in found:
                found[one] = found[other]
        if len(found) == before:
            return


def _resistors(circuit: Circuit, found: dict[str, float]) -> None:
    """Nets that hang on resistors: each has the mean of the far ends, weighted by conductance; swept."""
    ends = _resistor_ends(circuit)
    open_nets = _reached(ends, found)
    for net in open_nets:
        found[net] = 0.0
    for _ in range(SWEEPS):
        moved = 0.0
        for net in open_nets:
            far = [(found[other], ohms) for other, ohms in ends[net] if other in found]
            volts = sum(v / ohms for v, ohms in far) / sum(1 / ohms for _v, ohms in far)
            moved = max(moved, abs(volts - found[net]))
            found[net] = volts
        if moved < 1e-4:
            return


def _resistor_ends(circuit: Circuit) -> dict[str, list[tuple[str, float]]]:
    """By net: what its resistors lead to, and their ohms; a contact between nets counts as a milliohm."""
    ends: dict[str, list[tuple[str, float]]] = {}
    for part in circuit.parts.values():
        pairs = PASSING.get(part.kind, ()) if part.kind != "resistor" else ((0, 1),)
        for one, other in pairs:
            a, b = part.pins[one].net, part.pins[other].net
            ohms = part.size if part.kind == "resistor" else 1.0
            if a and b:
                ends.setdefault(a, []).append((b, ohms))
                ends.setdefault(b, []).append((a, ohms))
    return ends


def _reached(ends: dict[str, list[tuple[str, float]]], found: dict[str, float]) -> list[str]:
    """Nets without volts of their own that resistors join to one that has them."""
    reached: list[str] = []
    frontier = [net for net in ends if net in found]
    while frontier:
        net = frontier.pop()
        for other, _ohms in ends[net]:
            if other not in found and other not in reached:
                reached.append(other)
                frontier.append(other)
    return reached
