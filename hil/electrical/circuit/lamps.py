"""Sheet lamps: the columns and rows of the lamp matrix, its registers, and the blanking without code."""

from dataclasses import replace

from hil.electrical.circuit import values
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.parts import (
    Part,
    capacitor,
    connector,
    diode,
    fuse,
    mosfet,
    p_mosfet,
    resistor,
    two,
)

EIGHT = range(1, 9)
OUTPUTS = ("QA", "QB", "QC", "QD", "QE", "QF", "QG", "QH")


def parts() -> list[Part]:
    """The parts of the sheet."""
    found = [*_registers(), *_blanking()]
    for number in EIGHT:
        found += [*_column(number), *_row(number)]
    return found + _example() + _connectors()


def _registers() -> list[Part]:
    """Bits go out column 8 … 1, then row 8 … 1: the columns end in the register at the far end."""
    shared = {"SRCLK": "LAMP_SHIFT", "RCLK": "LAMP_STORE", "/OE": "LAMP_DARK", "/SRCLR": "5V"}
    shared.update({"GND": "0V", "VCC": "5V"})
    rows = {out: f"LAMP_ROW_{n}" for n, out in zip(EIGHT, OUTPUTS, strict=True)}
    columns = {out: f"LAMP_COLUMN_{n}" for n, out in zip(EIGHT, OUTPUTS, strict=True)}
    return [
        resistor("R601", values.LINE_SERIES, "LAMP_DATA", "LAMP_IN"),
        resistor("R602", values.LINE_SERIES, "LAMP_CLOCK", "LAMP_SHIFT"),
        resistor("R603", values.LINE_SERIES, "LAMP_LATCH", "LAMP_STORE"),
        place("U601", "74HCT595", {**shared, **rows, "SER": "LAMP_IN", "QH'": "LAMP_CHAIN"}),
        place("U602", "74HCT595", {**shared, **columns, "SER": "LAMP_CHAIN"}),
        capacitor("C601", 100e-9, 50, "5V", "0V", near="U601"),
        capacitor("C602", 100e-9, 50, "5V", "0V", near="U602"),
    ]


def _blanking() -> list[Part]:
    low, high = values.lamp_seconds()
    nets = {"/1A": "0V", "1B": "LAMP_STORE", "/1R": "5V", "1CX": "CX_L", "1RX": "RX_L", "/1Q": "LAMP_HALTED"}
    tied = {"/2A": "5V", "2B": "0V", "/2R": "0V", "GND": "0V", "VCC": "5V"}
    gate = {"A": "LAMP_HALTED", "B": "LAMP_BLANK", "Y": "LAMP_DARK", "GND": "0V", "VCC": "5V"}
    why = f"dark {low * 1e3:.1f} to {high * 1e3:.1f} ms after the last latch: a halted strobe burns no lamp"
    return [
        place("U603", "74HCT423", {**nets, **tied}, why),
        capacitor("C603", values.LAMP_GUARD_FARADS, 50, "RX_L", "CX_L", kind="film"),
        resistor("R604", values.LAMP_GUARD_OHMS, "5V", "RX_L"),
        place("U604", "74HCT1G32", gate),
        resistor("R605", 10e3, "3V3", "LAMP_BLANK", why="to 3.3 V: the pin is the Pico's"),
        capacitor("C604", 100e-9, 50, "5V", "0V", near="U603"),
        capacitor("C605", 100e-9, 50, "5V", "0V", near="U604"),
    ]


def _column(number: int) -> list[Part]:
    """High side: a small N-channel MOSFET pulls the P-channel one's gate down."""
    mark, gate, pull, high = f"61{number}", f"LAMP_CG_{number}", f"LAMP_CD_{number}", f"LAMP_HG_{number}"
    wire = f"LAMP_COLUMN_WIRE_{number}"
    found = [
        resistor(f"R{mark}1", 100, f"LAMP_COLUMN_{number}", gate),
        resistor(f"R{mark}2", 100e3, gate, "0V", why="dark while nothing drives the gate"),
        mosfet(f"Q{mark}1", "2N7002", gate, pull, "0V", V=60, A=0.2, gate_V=20),
        resistor(f"R{mark}3", 1e3, pull, high),
        resistor(f"R{mark}4", 10e3, high, "LAMP_12V"),
        p_mosfet(f"Q{mark}2", "P", high, wire, "LAMP_12V", V=30, A=5, gate_V=20),
    ]
    return [replace(part, unit=number) for part in found]


def _row(number: int) -> list[Part]:
    mark, gate = f"62{number}", f"LAMP_RG_{number}"
    found = [
        resistor(f"R{mark}1", 100, f"LAMP_ROW_{number}", gate),
        resistor(f"R{mark}2", 100e3, gate, "0V", why="dark while nothing drives the gate"),
        mosfet(f"Q{mark}", "N, logic level", gate, f"LAMP_ROW_WIRE_{number}", "0V", V=60, A=1, gate_V=16),
    ]
    return [replace(part, unit=10 + number) for part in found]


def _example() -> list[Part]:
    lamp = diode("D601", "led", "insert LED", "LAMP", "LAMP_ROW_WIRE_1", 15, 0.1)
    series = Part("R606", "resistor", "100 Ω", two("LAMP_COLUMN_WIRE_1", "LAMP"), {"W": 1.0, "V": 250.0}, 100)
    return [replace(part, off_board=True) for part in (lamp, series)]


def _connectors() -> list[Part]:
    return [
        fuse("F601", "3.15 A slow", "12V", "LAMP_12V", 63, 3.15, 35),
        connector("L1", "lamp rows", tuple(f"LAMP_ROW_WIRE_{n}" for n in EIGHT), V=60, A=2),
        connector("L2", "lamp columns", tuple(f"LAMP_COLUMN_WIRE_{n}" for n in EIGHT), V=60, A=2),
    ]
