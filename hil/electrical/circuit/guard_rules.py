"""Electrical rules about what keeps coils off: guards, feeds, the Pico's pins, contacts, earth."""

from collections.abc import Iterator

from boards.pico_matrix import pins as table
from hil.electrical.circuit import values
from hil.electrical.circuit.logic import edge_pin
from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import Part

FEEDS = ("GUARD_FEED", "SUPPLY_FEED")
AFTER_SUPPLY = (8, 16, 22)  # GPIOs of the RP2040 with a supply or other pins before them (mem)
AUTONOMOUS = ("pio", "pwm", "spi", "uart", "i2c")


def guards(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Enable and supply guard in packages of their own; two relays in series; both reset by the door."""
    enable = {part.mark for part, pin in circuit.on("/ENABLE") if pin.kind == "output"}
    relay = {part.mark for part, pin in circuit.on("RELAY_ON") if pin.kind == "output"}
    if enable & relay:
        yield f"enable and supply guard share {', '.join(enable & relay)}: one fault takes both"
    if len(enable) != 1:
        yield f"the enable line is driven by {len(enable)} chips, not by its one-shot alone"
    for mark in enable | relay:
        if _has(circuit[mark], "/1R") and circuit[mark].net("/1R") != "CLEAR":
            yield f"{mark} is not reset by CLEAR"
        if not circuit[mark].value.startswith("74HCT423"):
            yield f"{mark} is a {circuit[mark].value}, which may start a pulse when its reset ends"
    series = [part for part in circuit.parts.values() if part.ratings.get("coil_V") == values.RELAY_SUPPLY]
    if len(series) != 2 or len({pin.net for part in series for pin in part.pins[2:]}) != 3:
        yield "the coil supply is not switched by two relays in series: one that is welded cannot be opened"
    doors = [part for part in circuit.parts.values() if part.kind == "door switch"]
    if not doors:
        yield "there is no door switch"


def _has(part: Part, name: str) -> bool:
    return any(pin.name == name for pin in part.pins)


def feed_pins(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Next to a feed, at the Pico's edge and of the guard's on the chip, nothing that toggles by itself."""
    owners = {gpio: (name, owner) for name, gpio, _dir, owner, _level, _what in table.PINS}
    at_edge = {edge_pin(gpio): gpio for gpio in owners}
    for name, gpio, *_rest in table.PINS:
        if name.upper() not in FEEDS:
            continue
        edge = edge_pin(gpio)
        beside = {at_edge.get(edge - 1), at_edge.get(edge + 1)}
        if name == table.GUARD:
            beside |= {gpio - 1 if gpio not in AFTER_SUPPLY else None}
            beside |= {gpio + 1 if gpio + 1 not in AFTER_SUPPLY else None}
        for other in sorted(g for g in beside if g in owners):
            who, owner = owners[other]
            if owner.startswith(AUTONOMOUS):
                yield f"{name} lies beside {who}, which {owner} drives: a bridge would feed the guard"


def pico(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """The Pico's pins are on the nets of the board's pin table, and VBUS on none."""
    if "A701" not in circuit.parts:
        yield "there is no Pico"
        return
    pico = circuit["A701"]
    for name, gpio, *_rest in table.PINS:
        net = pico.net(f"GP{gpio}")
        if net != name.upper():
            yield f"GP{gpio} is {name} in the pin table and on {net or 'nothing'} in the circuit"
    if pico.net("VBUS"):
        yield "the Pico's VBUS is on a net"


def contacts(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Relays carry and break what flows through them; the door's second pole is wetted."""
    for part in circuit.parts.values():
        if part.kind == "relay" and "COIL_BUS" in _beyond(circuit, part):
            needs = (
                ("A", values.SUPPLY_LIMIT[1]),
                ("peak", values.AT_ONCE),
                ("breaks", values.locked_amperes()),
            )
            for rating, amperes in needs:
                if part.ratings[rating] < amperes:
                    given = f"{part.ratings[rating]:g} A ({rating})"
                    yield f"relay {part.mark} is rated {given} for {amperes:.1f} A"
        if _drops(part) and part.ratings["breaks"] < values.SUPPLY_LIMIT[1]:
            given = f"breaks {part.ratings['breaks']:g} A"
            yield f"relay {part.mark} {given}; a shorted bus drops it at {values.SUPPLY_LIMIT[1]:g} A"
        if part.kind == "door switch":
            series = ohms(circuit, "5V", part.net("21")) + ohms(circuit, part.net("22"), "0V")
            if values.LOGIC / max(series, 1e-9) < part.ratings["wets"]:
                flows = f"{values.LOGIC / series * 1e3:.1f} mA"
                yield f"contact 21-22 of {part.mark} carries {flows}: too little to wet it"


def _drops(part: Part) -> bool:
    """Whether it is the relay that a shorted bus makes open, since the reservoir feeds its coil."""
    return part.kind == "relay" and "SUPPLY+" in {pin.net for pin in part.pins}


def _beyond(circuit: Circuit, relay: Part) -> set[str]:
    """Nets that the relay's contact leads to through other relays."""
    found = {relay.pins[2].net, relay.pins[3].net}
    for part in circuit.parts.values():
        if part.kind == "relay" and {part.pins[2].net, part.pins[3].net} & found:
            found |= {part.pins[2].net, part.pins[3].net}
    return found if relay.mark in ("K1", "K2") else set()


def ohms(circuit: Circuit, a: str, b: str) -> float:
    """The least resistor in Ω between two nets; a gigaohm when there is none."""
    found = [
        part.size
        for part, _pin in circuit.on(a)
        if part.kind == "resistor" and b in {pin.net for pin in part.pins}
    ]
    return min(found, default=1e9)


def earthed(circuit: Circuit, _volts: dict[str, float]) -> Iterator[str]:
    """Metal parts are bonded to protective earth, and 0V to it at the star point."""
    studs = [part for part, _pin in circuit.on("PE") if part.kind == "connector" and "bonds" in part.value]
    if not studs:
        yield "no metal part is bonded to protective earth"
    if ohms(circuit, "0V", "PE") > 1:
        yield "0V is not joined to protective earth at the star point"
