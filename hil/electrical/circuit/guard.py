"""Sheet guard: two one-shots fed by the code, the enable line, the supply relays, door and reset."""

from hil.electrical.circuit import values
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.parts import (
    PASSIVE,
    Part,
    Pin,
    capacitor,
    clamp,
    connector,
    diode,
    fuse,
    mosfet,
    resistor,
    test_point,
)


def parts() -> list[Part]:
    """The parts of the sheet."""
    return [*_enable(), *_supply(), *_relays(), *_door(), *_reset()]


def _one_shot(mark: str, feed: str, reset: str, cx: str, rx: str, **out: str) -> Part:
    """One half of a 74HCT423; the other half is tied off, so that each guard has a package of its own."""
    nets = {"/1A": "0V", "1B": feed, "/1R": reset, "1CX": cx, "1RX": rx, "GND": "0V", "VCC": "5V"}
    tied = {"/2A": "5V", "2B": "0V", "/2R": "0V"}
    why = "423, not 123: the 123 starts a pulse when its reset ends"
    return place(mark, "74HCT423", {**nets, **tied, **out}, why)


def _enable() -> list[Part]:
    low, high = values.guard_seconds()
    return [
        resistor("R101", 1e3, "GUARD_FEED", "FEED_A", why="an unpowered chip takes no current from the Pico"),
        resistor("R102", 100e3, "FEED_A", "0V", why="no edges while nothing drives the feed"),
        _one_shot("U101", "FEED_A", "CLEAR", "CX_A", "RX_A", **{"/1Q": "/ENABLE"}),
        capacitor("C101", values.GUARD_FARADS, 50, "RX_A", "CX_A", kind="film"),
        resistor("R103", values.GUARD_OHMS, "5V", "RX_A", why=f"{low * 1e3:.1f} to {high * 1e3:.1f} ms"),
        capacitor("C103", 100e-9, 50, "5V", "0V", near="U101"),
        resistor("R104", values.ENABLE_UP, "5V", "/ENABLE", why="drives off while nothing drives the line"),
        resistor("R105", values.STATE_UPPER, "/ENABLE", "GUARD_STATE"),
        resistor("R106", values.STATE_LOWER, "GUARD_STATE", "0V"),
        test_point("TP3", "FEED_A", "500 Hz square, 3.3 V"),
        test_point("TP4", "/ENABLE", "low while fed, high within 9 ms of the last edge"),
    ]


def _supply() -> list[Part]:
    low, high = values.supply_seconds()
    return [
        resistor(
            "R107", 1e3, "SUPPLY_FEED", "FEED_B", why="an unpowered chip takes no current from the Pico"
        ),
        resistor("R108", 100e3, "FEED_B", "0V", why="no edges while nothing drives the feed"),
        _one_shot("U102", "FEED_B", "CLEAR", "CX_B", "RX_B", **{"1Q": "RELAY_ON"}),
        capacitor("C102", values.SUPPLY_FARADS, 50, "RX_B", "CX_B", kind="film"),
        resistor("R109", values.SUPPLY_OHMS, "5V", "RX_B", why=f"{low * 1e3:.0f} to {high * 1e3:.0f} ms"),
        capacitor("C104", 100e-9, 50, "5V", "0V", near="U102"),
        resistor("R110", 100, "RELAY_ON", "RELAY_GATE"),
        resistor("R111", 10e3, "RELAY_GATE", "0V", why="off while nothing drives the gate"),
        mosfet("Q101", "N, logic level", "RELAY_GATE", "RELAY_LOW", "0V", V=60, A=2, gate_V=20),
    ]


def _relays() -> list[Part]:
    """Two relays, whose contacts are on sheet supply: one that is welded is opened by the other."""
    volts = values.RELAY_ZENER
    return [
        _relay("K1", "FUSED", "BETWEEN"),
        _relay("K2", "BETWEEN", "COIL_BUS"),
        diode("D101", "diode", "1N4007", "RELAY_LOW", "RELAY_CLAMP", 1000, 1),
        diode(
            "D102",
            "zener",
            f"{volts:.0f} V 1 W",
            "RELAY_12V",
            "RELAY_CLAMP",
            volts,
            1,
            "takes the relays' current out sooner than a plain diode",
        ),
        diode("D104", "diode", "1N4007", "0V", "RELAY_12V", 1000, 1, "no arc at SW101 when the door opens"),
    ]


def _relay(mark: str, a: str, b: str) -> Part:
    """A relay of the coil supply: pins 1 and 2 its 12 V coil, 3 and 4 its contact."""
    pins = (
        Pin("1", "A1", PASSIVE, "RELAY_12V"),
        Pin("2", "A2", PASSIVE, "RELAY_LOW"),
        Pin("3", "13", PASSIVE, a),
        Pin("4", "14", PASSIVE, b),
    )
    ratings = {
        "V": values.RELAY_VOLTS,
        "A": values.RELAY_CARRIES,
        "breaks": values.RELAY_BREAKS,
        "peak": values.RELAY_PEAK,
        "coil_V": 12.0,
        "coil_ohms": values.RELAY_OHMS,
    }
    why = "printed DC rating; an AC rating says nothing about an arc at 48 V DC"
    return Part(mark, "relay", "12 V coil, one contact", pins, ratings, values.RELAY_OHMS, why=why)


def _door() -> list[Part]:
    """The door switch: one pole carries the relays' coil current, one pole holds the reset line high."""
    pins = (
        Pin("1", "11", PASSIVE, "DOOR_12V"),
        Pin("2", "12", PASSIVE, "RELAY_12V"),
        Pin("3", "21", PASSIVE, "DOOR_5V"),
        Pin("4", "22", PASSIVE, "DOOR_LINE"),
    )
    ratings = {"V": 24.0, "A": 2.0, "breaks": 2.0, "wets": 0.005}
    why = "forced opening, DC-13 rating printed; its poles carry no coil current"
    what = "two poles, closed while shut"
    door = Part("SW101", "door switch", what, pins, ratings, off_board=True, why=why)
    return [
        door,
        connector("J101", "door switch", ("DOOR_12V", "RELAY_12V", "DOOR_5V", "DOOR_LINE"), V=60, A=3),
        fuse("F101", "1 A slow", "12V", "DOOR_12V", 63, 1.0, 35),
        resistor("R112", values.DOOR_SERIES, "5V", "DOOR_5V", why="a shorted door wire draws 0.1 A"),
        resistor("R113", values.DOOR_LOAD, "DOOR_LINE", "0V", 0.5, "wets the contact; a broken wire is low"),
        resistor("R114", values.DOOR_TO_CLEAR, "DOOR_LINE", "CLEAR", why="the supervisor can pull CLEAR low"),
        clamp("D103", "CLEAR", "5V"),
        capacitor("C105", 10e-9, 50, "CLEAR", "0V"),
        test_point("TP8", "CLEAR", "above 4 V with the door shut, below 0.3 V with it open or its wire off"),
    ]


def _reset() -> list[Part]:
    """The supervisor, and the door's state for the Pico."""
    reason = "open drain and without a pull-up of its own, which would hold CLEAR high with the door open"
    return [
        place("U103", "supervisor 4.5 V", {"/RST": "CLEAR", "VDD": "5V", "VSS": "0V"}, reason),
        place("U104", "74HCT1G14", {"A": "CLEAR", "Y": "DOOR_OPEN", "GND": "0V", "VCC": "5V"}),
        resistor("R115", values.STATE_UPPER, "DOOR_OPEN", "INTERLOCK"),
        resistor("R116", values.STATE_LOWER, "INTERLOCK", "0V"),
        capacitor("C106", 100e-9, 50, "5V", "0V", near="U103"),
        capacitor("C107", 100e-9, 50, "5V", "0V", near="U104"),
    ]
