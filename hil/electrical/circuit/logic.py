"""Sheet logic: the 5 V and 12 V supplies, what protects the 5 V rail, the Pico, displays and memory."""

from boards.pico_matrix import pins as table
from hil.electrical.circuit import values
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.parts import (
    BOTH,
    INPUT,
    NOWHERE,
    OUTPUT,
    PASSIVE,
    SOURCE,
    SUPPLY,
    UNUSED,
    Part,
    Pin,
    capacitor,
    connector,
    diode,
    fuse,
    resistor,
    test_point,
)

PICO_MOST = 3.6  # V on a pin: 3.3 V and 0.3 V (mem); VSYS 5.5 V
# The pins at the Pico's edge that are no GPIO (the Pico's data sheet, mem).
EDGE = {
    **dict.fromkeys((3, 8, 13, 18, 23, 28, 38), ("GND", SUPPLY, "0V")),
    30: ("RUN", INPUT, "RUN"),
    33: ("AGND", SUPPLY, "0V"),
    35: ("ADC_VREF", UNUSED, NOWHERE),
    36: ("3V3", SOURCE, "3V3"),
    37: ("3V3_EN", UNUSED, NOWHERE),
    39: ("VSYS", SUPPLY, "VSYS"),
    40: ("VBUS", UNUSED, NOWHERE),
}
GPIO_AT = [n for n in range(1, 35) if n not in EDGE]  # edge pins of GPIO 0 to 22, 26 to 28
GPIOS = [*range(23), 26, 27, 28]


def edge_pin(gpio: int) -> int:
    """The number at the Pico's edge of a GPIO."""
    return GPIO_AT[GPIOS.index(gpio)]


def parts() -> list[Part]:
    """The parts of the sheet."""
    return [pico(), *_five_volts(), *_twelve_volts(), *_pico_supply(), *_displays()]


def pico() -> Part:
    """The Pico, from the board's own pin table."""
    kinds = {"in": INPUT, "out": OUTPUT, "both": BOTH}
    found = {
        n: Pin(str(n), name, kind, net, values.PICO_VSYS if net == "VSYS" else PICO_MOST)
        for n, (name, kind, net) in EDGE.items()
    }
    for name, gpio, direction, _owner, _level, _what in table.PINS:
        number = edge_pin(gpio)
        found[number] = Pin(str(number), f"GP{gpio}", kinds[direction], name.upper(), PICO_MOST)
    why = "VBUS is connected to nothing: a computer never feeds the 5 V rail, nor the rail a computer"
    return Part(
        "A701", "chip", "Raspberry Pi Pico", tuple(found[n] for n in sorted(found)), {"V": 5.5}, why=why
    )


def _bought(mark: str, value: str, plus: str, volts: float, amperes: float) -> Part:
    pins = (Pin("1", "+", SOURCE, plus), Pin("2", "-", PASSIVE, "0V"))
    ratings = {"V": volts, "A": amperes}
    why = "bought, enclosed, isolated; apart from the coil supply, they meet at the star point"
    return Part(mark, "bought supply", value, pins, ratings, volts, off_board=True, why=why)


def _five_volts() -> list[Part]:
    """The rail, and a shunt regulator that takes what a playfield wire on the coil bus brings into it."""
    volts = values.rail_clamp()
    held = Part(
        "Q701",
        "pnp",
        "PNP 80 V 3 A",
        (Pin("1", "B", INPUT, "SHUNT_BASE"), Pin("2", "C", PASSIVE, "0V"), Pin("3", "E", PASSIVE, "5V")),
        {"V": 80.0, "A": 3.0, "W": 10.0},
        why=f"takes current from {volts:.2f} V on: below what the Pico's VSYS bears, which no suppressor is",
    )
    return [
        _bought("PS2", "5 V DC 2 A", "5V_IN", 5.0, 2.0),
        connector("J701", "5 V", ("5V_IN", "0V"), V=60, A=5),
        fuse("F701", "2 A slow", "5V_IN", "5V", 63, 2.0, 35),
        capacitor("C701", 470e-6, 16, "5V", "0V", kind="electrolytic"),
        resistor("R701", values.RAIL_UPPER, "5V", "RAIL_REF"),
        resistor("R702", values.RAIL_LOWER, "RAIL_REF", "0V"),
        place("U701", "TL431", {"REF": "RAIL_REF", "K": "SHUNT_CATHODE", "A": "0V"}),
        resistor("R703", 100, "SHUNT_CATHODE", "SHUNT_BASE"),
        resistor("R704", 470, "5V", "SHUNT_BASE"),
        held,
        test_point("TP7", "5V", "4.75 to 5.25 V"),
        resistor("R705", 10e3, "5V", "LOGIC_VOLTS", why="1:2"),
        resistor("R706", 10e3, "LOGIC_VOLTS", "0V"),
        capacitor("C704", 10e-9, 50, "LOGIC_VOLTS", "0V"),
    ]


def _twelve_volts() -> list[Part]:
    return [
        _bought("PS3", "12 V DC 5 A", "12V_IN", 12.0, 5.0),
        connector("J702", "12 V", ("12V_IN", "0V"), V=60, A=8),
        fuse("F702", "5 A slow", "12V_IN", "12V", 63, 5.0, 35),
        capacitor("C702", 470e-6, 25, "12V", "0V", kind="electrolytic"),
        test_point("TP9", "12V", "11.4 to 12.6 V"),
    ]


def _pico_supply() -> list[Part]:
    return [
        diode("D701", "schottky", "1N5817", "5V", "VSYS", 20, 1, "feeds the Pico; nothing flows back"),
        capacitor("C703", 10e-6, 16, "VSYS", "0V", near="A701"),
        capacitor("C705", 10e-6, 10, "3V3", "0V"),
        resistor("R709", 10e3, "3V3", "RUN"),
        test_point("TP10", "RUN", "3.3 V; to 0 V holds the Pico in reset"),
        connector("J704", "sound box", ("CUE_TX", "CUE_RX", "0V"), V=60, A=1),
        resistor("R710", 100e3, "3V3", "CUE_RX", why="at rest without a sound box"),
    ]


def _displays() -> list[Part]:
    nets = dict.fromkeys(("A0", "A1", "A2", "VSS", "WP"), "0V")
    nets.update({"SDA": "DISPLAY_DATA", "SCL": "DISPLAY_CLOCK", "VDD": "3V3"})
    return [
        resistor("R707", 4.7e3, "3V3", "DISPLAY_DATA"),
        resistor("R708", 4.7e3, "3V3", "DISPLAY_CLOCK"),
        connector("J703", "displays", ("DISPLAY_DATA", "DISPLAY_CLOCK", "3V3", "0V"), V=60, A=1),
        place("U702", "FM24CL64B", nets, "settings and kept values: no erase, no blind time"),
        capacitor("C706", 100e-9, 50, "3V3", "0V", near="U702"),
    ]
