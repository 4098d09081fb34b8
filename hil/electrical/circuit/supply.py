"""Sheet supply: from the bought unit to the coil bus, with reservoir, fuse, shunt, discharge and earth."""

from hil.electrical.circuit import values
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.parts import (
    PASSIVE,
    SOURCE,
    Part,
    Pin,
    capacitor,
    clamp,
    connector,
    diode,
    fuse,
    resistor,
    test_point,
)

BONDED = ("coil door", "lock bar and side rails", "playfield metal", "supply case")


def parts() -> list[Part]:
    """The parts of the sheet."""
    return [*_source(), *_reservoir(), *_bus(), *_shunt(), *_volts()]


def _source() -> list[Part]:
    pins = (
        Pin("1", "+", SOURCE, "SUPPLY+"),
        Pin("2", "-", SOURCE, "0V"),
        Pin("3", "PE", PASSIVE, "PE"),
    )
    ratings = {"V": values.COIL_SUPPLY, "A": values.SUPPLY_LIMIT[0], "limit": values.SUPPLY_LIMIT[1]}
    why = "enclosed, isolated, certified; at most 60 V in any fault; its own current limit is counted with"
    unit = Part("PS1", "bought supply", "48 V DC", pins, ratings, values.COIL_SUPPLY, off_board=True, why=why)
    stud = connector("J202", "earth stud, bonds " + ", ".join(BONDED), ("PE", "PE", "PE", "PE", "PE"), A=25)
    return [
        unit,
        connector("J201", "coil supply", ("SUPPLY+", "0V", "PE"), V=60, A=20),
        stud,
        resistor("R215", 0.001, "0V", "PE", 1, "link at the star point, removable for measuring insulation"),
    ]


def _reservoir() -> list[Part]:
    """Pre-charge, reservoir and its two bleeders: one of them that opens leaves the other."""
    pins = (
        Pin("1", "A1", PASSIVE, "RESERVOIR"),
        Pin("2", "A2", PASSIVE, "0V"),
        Pin("3", "13", PASSIVE, "SUPPLY+"),
        Pin("4", "14", PASSIVE, "RESERVOIR"),
    )
    ratings = {
        "V": 60.0,
        "A": 16.0,
        "peak": 50.0,
        "breaks": values.RELAY_BREAKS,
        "coil_V": 48.0,
        "coil_ohms": 5.5e3,
    }
    why = "bridges R201 once the reservoir is nearly full; a shorted bus drops it, at the supply's own limit"
    precharge = Part("K3", "relay", "48 V coil, one contact", pins, ratings, 5.5e3, why=why)
    bleeder = "safe within 30 s together with its twin, 60 s alone"
    return [
        resistor("R201", values.PRECHARGE, "SUPPLY+", "RESERVOIR", 5, "fusible; charging current"),
        precharge,
        capacitor("C201", values.RESERVOIR, values.RESERVOIR_RATING, "RESERVOIR", "0V", kind="electrolytic"),
        resistor("R202", values.BLEEDER_EACH, "RESERVOIR", "0V", 2, bleeder),
        resistor("R203", values.BLEEDER_EACH, "RESERVOIR", "0V", 2, bleeder),
        resistor("R204", 10e3, "RESERVOIR", "STORED_LED", 1),
        diode(
            "D201", "led", "red", "STORED_LED", "0V", 5, 0.02, "lit: energy is stored; dark proves nothing"
        ),
        test_point("TP5", "RESERVOIR", "48 V; below 5 V before hands go in"),
    ]


def _bus() -> list[Part]:
    fuse_text = f"{values.MAIN_FUSE:g} A blade, 58 V DC"
    main_fuse = fuse("F201", fuse_text, "RESERVOIR", "FUSED", 58, values.MAIN_FUSE, values.MAIN_FUSE_BREAKS)
    main_fuse.ratings["bears"] = values.MAIN_FUSE_BEARS
    return [
        main_fuse,
        resistor(
            "R216", values.BUS_SERIES, "COIL_BUS", "BUS_CAP", 2, "what the relays' contacts make stays small"
        ),
        capacitor(
            "C202", values.BUS_FARADS, values.RESERVOIR_RATING, "BUS_CAP", "COIL_0V", kind="electrolytic"
        ),
        resistor(
            "R205", values.DISCHARGE_EACH, "COIL_BUS", "COIL_0V", 2, "empties the bus behind the relays"
        ),
        resistor(
            "R206", values.DISCHARGE_EACH, "COIL_BUS", "COIL_0V", 2, "empties the bus behind the relays"
        ),
        diode(
            "D202",
            "diode",
            "200 V 8 A",
            "COIL_0V",
            "COIL_BUS",
            200,
            8,
            "carries the coils' current when the relays open while a drive is on",
        ),
        resistor("R207", 10e3, "COIL_BUS", "LIVE_LED", 1),
        diode(
            "D203", "led", "red", "LIVE_LED", "COIL_0V", 5, 0.02, "lit: the bus is live; dark proves nothing"
        ),
        test_point("TP6", "COIL_BUS", "48 V with relays and door closed; below 5 V before hands go in"),
    ]


def _shunt() -> list[Part]:
    """The only path from the drives' common return to the star point, so that no current passes it by."""
    nets = {"IN+": "COIL_0V", "IN-": "0V", "OUT": "AMPERES_OUT", "V+": "3V3", "GND": "0V"}
    return [
        resistor("R208", values.SHUNT_OHMS, "COIL_0V", "0V", 3, "four-wire; the star point is its far end"),
        place("U201", "INA180A2", nets, "gain 50: 50 mV an ampere, 66 A at 3.3 V"),
        capacitor("C203", 100e-9, 50, "3V3", "0V", near="U201"),
        resistor("R209", 1e3, "AMPERES_OUT", "COIL_AMPERES"),
        capacitor("C204", 100e-9, 50, "COIL_AMPERES", "0V"),
    ]


def _volts() -> list[Part]:
    upper = values.CONVERTER_LOWER * (values.CONVERTER_BUS - 1)
    return [
        resistor("R210", upper, "COIL_BUS", "COIL_VOLTS", 0.5, "1:31"),
        resistor("R211", values.CONVERTER_LOWER, "COIL_VOLTS", "0V"),
        capacitor("C205", 10e-9, 50, "COIL_VOLTS", "0V"),
        clamp("D204", "COIL_VOLTS", "3V3"),
    ]
