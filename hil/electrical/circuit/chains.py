"""Sheets chains and readers: the drive registers, the held pair's buffer, the column and input registers."""

from hil.electrical.circuit import values
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.lamps import OUTPUTS
from hil.electrical.circuit.parts import Part, capacitor, resistor

LETTERS = "ABCDEFGH"


def parts() -> list[Part]:
    """The parts of the sheet."""
    return [*_drives(), *_held(), *_columns()]


def reader_parts() -> list[Part]:
    """The parts of the sheet of the input registers."""
    return _inputs()


def _line(mark: str, pico: str, inside: str) -> Part:
    why = "damps the edge; an unpowered 5 V chip takes little current from the Pico"
    return resistor(mark, values.LINE_SERIES, pico, inside, why=why)


def _drives() -> list[Part]:
    shared = {"SRCLK": "DRIVE_SHIFT", "RCLK": "DRIVE_STORE", "/OE": "/ENABLE", "/SRCLR": "5V"}
    shared.update({"GND": "0V", "VCC": "5V"})
    found = [
        _line("R801", "DRIVE_DATA", "DRIVE_IN"),
        _line("R802", "DRIVE_CLOCK", "DRIVE_SHIFT"),
        _line("R803", "DRIVE_LATCH", "DRIVE_STORE"),
    ]
    link = ("DRIVE_IN", "DRIVE_CHAIN_1", "DRIVE_CHAIN_2", "DRIVE_OUT")
    for n in range(3):
        outputs = {name: f"DRIVE_{8 * n + k + 1}" for k, name in enumerate(OUTPUTS)}
        nets = {**shared, **outputs, "SER": link[n], "QH'": link[n + 1]}
        found.append(place(f"U80{n + 1}", "74HCT595", nets))
        found.append(capacitor(f"C80{n + 1}", 100e-9, 50, "5V", "0V", near=f"U80{n + 1}"))
    return [
        *found,
        resistor("R804", values.BACK_UPPER, "DRIVE_OUT", "DRIVE_BACK"),
        resistor("R805", values.BACK_LOWER, "DRIVE_BACK", "0V"),
    ]


def _held() -> list[Part]:
    nets = {"/1OE": "/ENABLE", "1A": "HOLD_IN_A", "1Y": "DRIVE_25"}
    nets.update({"/2OE": "/ENABLE", "2A": "HOLD_IN_B", "2Y": "DRIVE_26", "GND": "0V", "VCC": "5V"})
    nets.update({"/3OE": "5V", "3A": "0V", "/4OE": "5V", "4A": "0V"})
    return [
        _line("R806", "HOLD_A", "HOLD_IN_A"),
        _line("R807", "HOLD_B", "HOLD_IN_B"),
        resistor("R812", 100e3, "HOLD_IN_A", "0V", why="off while the Pico does not drive it"),
        resistor("R813", 100e3, "HOLD_IN_B", "0V", why="off while the Pico does not drive it"),
        place("U804", "74HCT125", nets, "puts the two PWM pins behind the same guard"),
        capacitor("C804", 100e-9, 50, "5V", "0V", near="U804"),
    ]


def _columns() -> list[Part]:
    outputs = {name: f"COLUMN_{k + 1}" for k, name in enumerate(OUTPUTS)}
    nets = {"SER": "COLUMN_IN", "SRCLK": "COLUMN_SHIFT", "RCLK": "COLUMN_SHIFT", "/OE": "0V", "/SRCLR": "5V"}
    nets.update({"GND": "0V", "VCC": "5V"})
    why = "5 V at a column's gate; both clocks together: an output is one clock behind"
    return [
        _line("R808", "COLUMN_DATA", "COLUMN_IN"),
        _line("R809", "COLUMN_CLOCK", "COLUMN_SHIFT"),
        place("U805", "74HCT595", {**outputs, **nets}, why),
        capacitor("C805", 100e-9, 50, "5V", "0V", near="U805"),
    ]


def _inputs() -> list[Part]:
    """Bits come in as row 8 … 1, direct 16 … 1, drain 16 … 1: input H of the first chip is row 8."""
    shared = {"SH/LD": "SWITCH_TAKE", "CLK": "SWITCH_SHIFT", "INH": "0V", "GND": "0V", "VCC": "3V3"}
    lines = [f"ROW_IN_{n}" for n in range(8, 0, -1)]
    lines += [f"DIRECT_IN_{n}" for n in range(16, 0, -1)] + [f"BACK_{n}" for n in range(16, 0, -1)]
    found = [
        _line("R810", "SWITCH_CLOCK", "SWITCH_SHIFT"),
        _line("R811", "SWITCH_LOAD", "SWITCH_TAKE"),
    ]
    for n in range(5):
        taken = dict(zip(reversed(LETTERS), lines[8 * n : 8 * n + 8], strict=True))
        out = "SWITCH_DATA" if n == 0 else f"SWITCH_CHAIN_{n}"
        into = "0V" if n == 4 else f"SWITCH_CHAIN_{n + 1}"
        mark = f"8{n + 6:02}"
        found.append(place(f"U{mark}", "74HC165", {**shared, **taken, "QH": out, "SER": into}))
        found.append(capacitor(f"C{mark}", 100e-9, 50, "3V3", "0V", near=f"U{mark}"))
    return found
