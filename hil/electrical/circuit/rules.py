"""Electrical rules of our own, beside skidl's: ratings, pulls, fuses, returns, guards, the Pico's pins.

Each rule yields sentences; a clean circuit yields none.
"""

import math
import re
from collections.abc import Callable, Iterator

from hil.electrical.circuit import chips, guard_rules, values
from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import NOWHERE, UNUSED, Part, Pin
from hil.electrical.circuit.volts import RAILS, highest

MUST_LEAD = ("input", "supply", "passive", "source")
MAY_BE_OPEN = ("2CX", "2RX")  # of a one-shot's half that is held in reset
MARGIN = 0.8  # of a MOSFET's or capacitor's volts: common practice
CLAMP_DROP = 0.3  # V of a Schottky diode at a milliampere (mem)
Rule = Callable[[Circuit, dict[str, float]], Iterator[str]]


def report(circuit: Circuit) -> str:
    """The rules' report as Markdown: each rule, and what it finds."""
    volts = highest(circuit)
    pins = sum(len(nodes) for nodes in circuit.nets().values())
    lines = [
        "# Electrical rules",
        "",
        "Written by `python -m hil.electrical.drawings`. skidl's rules are run by a test.",
        "",
    ]
    lines += [f"{len(circuit.parts)} parts, {len(circuit.nets())} nets, {pins} pins on them.", ""]
    lines += ["| rule | found |", "|---|---|"]
    for rule in RULES:
        words = " ".join((rule.__doc__ or "").split())
        lines.append(f"| {words} | {'; '.join(rule(circuit, volts)) or 'nothing'} |")
    return "\n".join(lines) + "\n"


def broken(circuit: Circuit) -> list[str]:
    """Every sentence of every rule."""
    volts = highest(circuit)
    return [sentence for rule in RULES for sentence in rule(circuit, volts)]


def _connected(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Inputs, supplies and ends lead somewhere; a net joins two pins at least."""
    for part in circuit.parts.values():
        for pin in part.pins:
            if pin.net == NOWHERE and pin.kind in MUST_LEAD and pin.name not in MAY_BE_OPEN:
                yield f"pin {pin.number} ({pin.name}) of {part.mark} is connected to nothing"
            if pin.net != NOWHERE and pin.kind == UNUSED:
                yield f"pin {pin.number} ({pin.name}) of {part.mark} is to be left open, not on {pin.net}"
    for net, nodes in circuit.nets().items():
        electric = [mark for mark, _pin in nodes if circuit[mark].kind not in ("test point", "connector")]
        if len(electric) < 2 and not _leads_out(circuit, net):
            yield f"net {net} has one end only, at {nodes[0][0]}"


def _leads_out(circuit: Circuit, net: str) -> bool:
    """A connector of the playfield, the sound box or the displays may be a net's other end."""
    return any(part.kind == "connector" for part, _pin in circuit.on(net)) and len(circuit.on(net)) > 1


def _driven(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """No input without something that gives it a level."""
    for net in circuit.nets():
        ends = circuit.on(net)
        if not any(pin.kind == "input" for _part, pin in ends):
            continue
        if not any(_gives(part, pin) for part, pin in ends):
            yield f"net {net} has inputs and nothing that drives them"


def _gives(part: Part, pin: Pin) -> bool:
    if pin.kind in ("output", "tristate", "both", "source", "open collector"):
        return True
    return part.kind in ("resistor", "fuse", "connector", "bought supply") or pin.net in RAILS


def _one_driver(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """One output drives a net, or one supply."""
    for net in circuit.nets():
        drivers = [part.mark for part, pin in circuit.on(net) if pin.kind in ("output", "tristate", "source")]
        if len(drivers) > 1 and net not in RAILS:
            yield f"net {net} is driven by {' and '.join(drivers)}"


def _ratings(circuit: Circuit, volts: dict[str, float]) -> Iterator[str]:
    """No part between nets that are further apart than its volts allow."""
    for part in circuit.parts.values():
        rated = part.ratings.get("V")
        if rated is None or part.kind in ("chip", "bought supply", "led", "zener", "suppressor", "clamp"):
            continue
        known = [volts[pin.net] for pin in part.pins if pin.net in volts]
        spread = max(known, default=0.0) - min(
            [*known, 0.0] if part.kind in SWITCHING else known, default=0.0
        )
        part_of = MARGIN if part.kind in ("mosfet", "electrolytic", "film", "capacitor", "X7R") else 1.0
        if spread > rated * part_of + 1e-9:
            yield f"{part.mark} is rated {rated:g} V and sees {spread:.1f} V"


SWITCHING = ("mosfet", "relay", "fuse", "door switch", "switch", "connector")


def _pins_bear(circuit: Circuit, volts: dict[str, float]) -> Iterator[str]:
    """No chip's pin on a net that rises above what the pin bears; a clamp counts."""
    for part in circuit.parts.values():
        if part.kind not in ("chip",):
            continue
        for pin in part.pins:
            driven = max(volts.get(pin.net, 0.0), _pulled_to(circuit, pin.net, volts))
            reached = min(driven, _clamped(circuit, pin.net, volts))
            if reached > pin.most + 1e-9:
                yield (
                    f"pin {pin.number} ({pin.name}) of {part.mark} bears {pin.most:.1f} V and {pin.net}"
                    f" reaches {reached:.2f} V"
                )


def _pulled_to(circuit: Circuit, net: str, volts: dict[str, float]) -> float:
    """What resistors alone make of a net while nothing drives it."""
    found = [part for part, _pin in circuit.on(net) if part.kind == "resistor" and net != NOWHERE]
    far = [(volts.get(end, 0.0), part.size) for part in found for end in _ends(part) if end != net]
    return sum(v / ohms for v, ohms in far) / sum(1 / ohms for _v, ohms in far) if far else 0.0


def _clamped(circuit: Circuit, net: str, volts: dict[str, float]) -> float:
    rails = [part.net("K") for part, pin in circuit.on(net) if part.kind == "clamp" and pin.name == "AK"]
    return min((volts.get(rail, 1000.0) + CLAMP_DROP for rail in rails), default=1000.0)


def _supplies(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """A chip's supply is within its range: a 5 V chip on 3.3 V, or the reverse, is found here."""
    for part in circuit.parts.values():
        if part.kind != "chip" or part.mark == "A701":
            continue
        _pinout, least, most, _input = chips.CHIPS[chips.model_of(part)]
        for pin in part.pins:
            if pin.name in ("VCC", "VDD", "V+"):
                rail = {"5V": 5.0, "3V3": 3.3}.get(pin.net)
                if rail is None or not least <= rail <= most:
                    yield f"{part.mark}, a {part.value}, wants {least:g} to {most:g} V and is on {pin.net}"
            if pin.name in ("GND", "VSS") and pin.net != "0V":
                yield f"{part.mark} has its {pin.name} on {pin.net or 'nothing'}, not on 0V"


def _decoupled(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Every chip has a capacitor of its own between its supply and 0V."""
    for part in circuit.parts.values():
        if part.kind != "chip" or part.value.startswith("TL431"):
            continue
        near = [other for other in circuit.parts.values() if other.near == part.mark]
        rails = {pin.net for pin in part.pins if pin.name in ("VCC", "VDD", "V+", "VSYS")}
        if not any({pin.net for pin in cap.pins} == rails | {"0V"} for cap in near):
            yield f"{part.mark} has no decoupling capacitor between its supply and 0V"


def _pulled(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Gates, floating outputs and lines into a buffer have a resistor that holds them off."""
    for part in circuit.parts.values():
        if part.kind == "mosfet":
            source = part.net("S")
            if not _resistor_to(circuit, part.net("G"), (source,)):
                yield f"the gate of {part.mark} has no resistor to its source"
        for pin in part.pins:
            if pin.kind == "tristate" and pin.net and not _holds(circuit, part, pin.net):
                yield f"{pin.net} floats when {part.mark} is disabled: it has no resistor"
    if not _resistor_to(circuit, "/ENABLE", ("5V",)):
        yield "the enable line has no pull-up to 5V"
    for feed in ("FEED_A", "FEED_B"):
        if not _resistor_to(circuit, feed, ("0V",)):
            yield f"{feed} has no pull-down"


def _holds(circuit: Circuit, part: Part, net: str) -> bool:
    """A resistor to 0 V on the net, or behind one resistor; outputs that are never disabled need none."""
    enables = [pin.net for pin in part.pins if pin.name in ("/OE", "/1OE", "/2OE")]
    if enables == ["0V"] or _resistor_to(circuit, net, ("0V",)):
        return True
    behind = [
        next(p.net for p in other.pins if p.number != pin.number)
        for other, pin in circuit.on(net)
        if other.kind == "resistor"
    ]
    return any(_resistor_to(circuit, far, ("0V",)) for far in behind)


def _resistor_to(circuit: Circuit, net: str, rails: tuple[str, ...]) -> bool:
    return any(
        part.kind == "resistor" and {p.net for p in part.pins} & set(rails) - {net}
        for part, _pin in circuit.on(net)
    )


def _returns(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Every drive returns to COIL_0V, and that meets 0V in the shunt alone."""
    for part in circuit.parts.values():
        if part.kind == "mosfet" and part.net("D").startswith("DRAIN_") and part.net("S") != "COIL_0V":
            yield f"{part.mark} returns to {part.net('S')}, past the current shunt"
    joins = [
        part.mark
        for part in circuit.parts.values()
        if {"COIL_0V", "0V"} <= {pin.net for pin in part.pins} and part.kind not in ("chip", "clamp")
    ]
    if joins != ["R208"]:
        yield f"COIL_0V and 0V are joined by {', '.join(joins) or 'nothing'}, not by the shunt alone"


def _fused(circuit: Circuit, volts: dict[str, float]) -> Iterator[str]:
    """A fuse of its own for every coil, that breaks what the bus can deliver."""
    source = values.SUPPLY_OHMS_SOURCE
    for part in circuit.parts.values():
        if part.kind == "coil":
            fuses = [p for p, _pin in circuit.on(part.pins[0].net) if p.kind == "fuse"]
            if len(fuses) != 1:
                yield f"coil {part.mark} has {len(fuses)} fuses of its own"
        pulses = 2 * values.AT_ONCE**2 * values.LONGEST_PULSE
        if part.kind == "fuse" and part.net("1") == "RESERVOIR" and part.ratings.get("bears", 0.0) < pulses:
            yield f"fuse {part.mark} may melt below the {pulses:.0f} A²s that it has to bear"
        if part.kind == "fuse":
            highest_volts = max(volts.get(pin.net, 0.0) for pin in part.pins)
            if part.ratings.get("V", 0.0) < highest_volts:
                yield f"fuse {part.mark} is rated {part.ratings.get('V', 0):g} V DC at {highest_volts:.1f} V"
            before = {"RESERVOIR": source, "COIL_BUS": source + values.COIL_FUSE_OHMS}.get(
                part.net("1"), math.inf
            )
            if part.ratings["breaks"] < values.high_volts() / before:
                given = f"{values.high_volts() / before:.0f} A"
                yield f"fuse {part.mark} breaks {part.ratings['breaks']:g} A; the reservoir gives {given}"


def _clamps(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """A way round for the current of every coil and relay; plain where PWM holds, quick where not."""
    for part in circuit.parts.values():
        if part.kind == "coil":
            plus, drain = part.pins[0].net, part.pins[1].net
            plain = _diode(circuit, drain, plus, "diode")
            middle = drain.replace("DRAIN", "CLAMP")
            quick = _diode(circuit, drain, middle, "diode") and _diode(circuit, plus, middle, "suppressor")
            if not plain and not quick:
                yield f"coil {part.mark} has no way round for its current"
            if part.mark.startswith("L4") and not plain:
                yield f"coil {part.mark} is held by PWM and has no plain diode: nothing would hold"
        if part.kind == "relay" and part.ratings["coil_V"] == values.RELAY_SUPPLY:
            quick = _diode(circuit, "RELAY_LOW", "RELAY_CLAMP", "diode")
            if not quick or not _diode(circuit, "RELAY_12V", "RELAY_CLAMP", "zener"):
                yield f"relay {part.mark} has no diode with a zener: it opens late"
    if not _diode(circuit, "COIL_0V", "COIL_BUS", "diode"):
        yield "the coil bus has no diode for the current of coils when the relays open"
    if not _diode(circuit, "0V", "RELAY_12V", "diode"):
        yield "the relays' supply has no diode for their current when the door opens"


def _diode(circuit: Circuit, anode: str, cathode: str, kind: str) -> bool:
    return any(
        part.kind == kind and part.net("A") == anode and part.net("K") == cathode
        for part in circuit.parts.values()
        if part.kind == kind
    )


def _ends(part: Part) -> set[str]:
    return {pin.net for pin in part.pins}


def _alike(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Every channel of a sheet has the parts, values and connections of the first of its kind."""
    channels: dict[tuple[str, int], list[Part]] = {}
    for part in circuit.parts.values():
        if part.unit and part.kind != "test point":
            channels.setdefault((part.sheet, part.unit), []).append(part)
    shapes: dict[str, tuple[int, list[str]]] = {}
    for (sheet, unit), parts in channels.items():
        kind = f"{sheet} {_family(sheet, unit)}"
        shape = sorted(_shape(part, parts) for part in parts)
        first, expected = shapes.setdefault(kind, (unit, shape))
        if shape != expected:
            yield f"channel {unit} of sheet {sheet} is not like channel {first}"


def _family(sheet: str, unit: int) -> str:
    if sheet == "drive_pulsed":
        return "read back" if unit <= 16 else "not read back"
    return str(unit // 10 if sheet == "lamps" else min(unit // 10, 2))


def _shape(part: Part, among: list[Part]) -> str:
    """What a part is, with the channel's own nets written by whom they join instead of by name."""
    own = {other.mark: index for index, other in enumerate(among)}
    ends = []
    for pin in part.pins:
        joined = [f"{own[o.mark]}.{p.number}" for o in among for p in o.pins if p.net == pin.net and pin.net]
        ends.append(
            f"{pin.name}:{','.join(joined)}:{pin.net if pin.net in RAILS or _shared(pin.net) else ''}"
        )
    return f"{own[part.mark]} {part.kind} {part.value} {sorted(part.ratings.items())} {ends}"


def _shared(net: str) -> bool:
    return not re.search(r"\d", net) or net in RAILS


RULES: tuple[Rule, ...] = (
    _connected,
    _driven,
    _one_driver,
    _ratings,
    _pins_bear,
    _supplies,
    _decoupled,
    _pulled,
    _returns,
    _fused,
    _clamps,
    guard_rules.guards,
    guard_rules.feed_pins,
    guard_rules.pico,
    guard_rules.contacts,
    guard_rules.earthed,
    _alike,
)
