"""Sheet inputs: the rows and columns of the switch matrix, and the direct inputs."""

from dataclasses import replace

from hil.electrical.circuit import values
from hil.electrical.circuit.parts import Part, clamp, connector, diode, mosfet, resistor, two

ROWS = range(1, 9)
COLUMNS = range(1, 9)
DIRECT = range(1, 17)


def parts() -> list[Part]:
    """The parts of the sheet."""
    found = []
    for row in ROWS:
        found += _input(f"51{row}", f"ROW_{row}", f"ROW_IN_{row}", row)
    for column in COLUMNS:
        found += _column(column)
    for number in DIRECT:
        found += _input(f"53{number:02}", f"DIRECT_{number}", f"DIRECT_IN_{number}", 20 + number)
    return found + _examples() + _connectors()


def _input(mark: str, line: str, inside: str, unit: int) -> list[Part]:
    found = [
        resistor(f"R{mark}1", values.WETTING_OHMS, "5V", line, why="wets the contact"),
        resistor(f"R{mark}2", values.INPUT_SERIES, line, inside, 0.5, "bears a touch of the coil bus"),
        resistor(f"R{mark}3", values.INPUT_LOWER, inside, "0V"),
        clamp(f"D{mark}1", inside, "3V3"),
    ]
    return [replace(part, unit=unit) for part in found]


def _column(column: int) -> list[Part]:
    mark, gate = f"52{column}", f"COLUMN_GATE_{column}"
    found = [
        resistor(f"R{mark}1", 100, f"COLUMN_{column}", gate),
        resistor(f"R{mark}2", 100e3, gate, "0V", why="no column while nothing drives the gate"),
        mosfet(f"Q{mark}", "2N7002", gate, f"COLUMN_WIRE_{column}", "0V", V=60, A=0.2, gate_V=20),
    ]
    return [replace(part, unit=10 + column) for part in found]


def _examples() -> list[Part]:
    """One crossing of the matrix and one direct switch: those of a game come from its wiring table."""
    contact = {"V": 24.0, "A": 0.1, "wets": 0.005}
    switch = Part("SW501", "switch", "on the playfield", two("ROW_1", "CROSSING"), contact, off_board=True)
    stray = diode("D501", "diode", "1N4148", "CROSSING", "COLUMN_WIRE_1", 75, 0.2, "no ghosts: one a switch")
    direct = Part("SW502", "switch", "on the playfield", two("DIRECT_1", "0V"), contact, off_board=True)
    return [replace(part, off_board=True) for part in (switch, stray, direct)]


def _connectors() -> list[Part]:
    direct = (*(f"DIRECT_{n}" for n in DIRECT), "0V")
    return [
        connector("S1", "switch rows", tuple(f"ROW_{n}" for n in ROWS), V=60, A=1),
        connector("S2", "switch columns", tuple(f"COLUMN_WIRE_{n}" for n in COLUMNS), V=60, A=1),
        connector("D1", "direct inputs", direct, V=60, A=1),
    ]
