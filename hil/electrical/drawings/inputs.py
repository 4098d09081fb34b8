"""Circuit sheet: the switch inputs, a matrix crossing and a direct input."""

from hil.electrical.drawings import values
from hil.electrical.drawings.sheet import Sheet


def inputs() -> Sheet:
    """The sheet: one crossing of the switch matrix, and one direct input."""
    sheet = Sheet("Switch inputs")
    sheet.text((0, 12.2), "Switch inputs: one crossing of the 8 × 8 matrix, one of 16 direct inputs", 15)
    _crossing(sheet)
    _direct(sheet)
    sheet.text(
        (0, -4.4),
        f"A closed switch carries {values.wetting_amperes() * 1e3:.0f} mA while its column is"
        " selected: enough to"
        " keep contacts clean. At the 74HC165 an open row stands at"
        f" {values.switch_open():.1f} V, a closed one at {values.switch_closed():.2f} V.\n"
        "The series resistor and the clamp bear a playfield wire that touches the coil bus: "
        f"{(values.COIL_SUPPLY * 1.1 - values.PICO) / values.INPUT_SERIES * 1e3:.0f} mA into the clamp;"
        " the pull-up burns, and the\n5 V rail's suppressor (sheet 'logic') holds the rail.",
    )
    return sheet


def _crossing(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.text((0, 11.2), "matrix", 12)
    sheet.rail((3, 9.6), "5 V")
    sheet.put(e.ResistorIEC(), (3, 9.6), (3, 7.6), f"{values.WETTING_OHMS:.0f} Ω\n0.25 W")
    sheet.wire((3, 7.6), (3, 7))
    sheet.dot((3, 7))
    _divider(sheet, 3, 7, "row input\nto a 74HC165 (3.3 V)")
    sheet.wire((3, 7), (0.8, 7), (0.8, 5.6))
    sheet.put(e.Switch(), (0.8, 5.6), (0.8, 3.8), "")
    sheet.text((0.3, 4.7), "switch", align="right")
    sheet.put(e.Diode(), (0.8, 3.8), (0.8, 2.0), "")
    sheet.text((0.3, 2.9), "1N4148", align="right")
    sheet.wire((0.8, 2.0), (0.8, 1.4))
    gate, source = sheet.mosfet((0.8, 1.4))
    sheet.text((1.1, 0.65), "Q3 60 V\n(2N7002)")
    sheet.wire(source, (0.8, -0.5))
    sheet.ground((0.8, -0.5))
    sheet.put(e.ResistorIEC(), (-3.2, gate[1]), (-1.2, gate[1]), "100 Ω")
    sheet.wire((-1.2, gate[1]), gate)
    sheet.dot((-1.0, gate[1]))
    sheet.put(e.ResistorIEC(), (-1.0, gate[1]), (-1.0, -1.1), "100 kΩ", dx=-2.5, dy=-0.1)
    sheet.ground((-1.0, -1.1))
    sheet.terminal((-3.2, gate[1]), "column select from\na 74HCT595")
    sheet.text((1.3, 2.2), "column wire:\ncathode side of every\ndiode in the column")
    sheet.text((1.0, 6.65), "row wire")


def _direct(sheet: Sheet) -> None:
    e = sheet.elements
    x = 16.5
    sheet.text((x - 1, 11.2), "direct", 12)
    sheet.rail((x + 3, 9.6), "5 V")
    sheet.put(e.ResistorIEC(), (x + 3, 9.6), (x + 3, 7.6), f"{values.WETTING_OHMS:.0f} Ω\n0.25 W")
    sheet.wire((x + 3, 7.6), (x + 3, 7))
    sheet.dot((x + 3, 7))
    _divider(sheet, x + 3, 7, "direct input\nto a 74HC165 (3.3 V)")
    sheet.wire((x + 3, 7), (x + 0.8, 7), (x + 0.8, 5.6))
    sheet.put(e.Switch(), (x + 0.8, 5.6), (x + 0.8, 3.8), "")
    sheet.text((x + 0.3, 4.7), "switch", align="right")
    sheet.wire((x + 0.8, 3.8), (x + 0.8, 3.2))
    sheet.ground((x + 0.8, 3.2))
    sheet.text((x + 1.3, 2.7), "logic 0 V by its own wire,\nnever the coils' return")


def _divider(sheet: Sheet, x: float, y: float, name: str) -> None:
    e = sheet.elements
    sheet.put(e.ResistorIEC(), (x, y), (x + 3, y), f"{values.INPUT_SERIES / 1e3:.0f} kΩ")
    sheet.wire((x + 3, y), (x + 7.6, y))
    sheet.dot((x + 3.4, y), (x + 5.8, y))
    sheet.put(e.ResistorIEC(), (x + 3.4, y), (x + 3.4, y - 2.1), f"{values.INPUT_LOWER / 1e3:.0f} kΩ")
    sheet.ground((x + 3.4, y - 2.1))
    sheet.put(e.Schottky(), (x + 5.8, y), (x + 5.8, y + 2), "BAT54S")
    sheet.rail((x + 5.8, y + 2), "3.3 V")
    sheet.put(e.Schottky(), (x + 5.8, y - 2.1), (x + 5.8, y), "")
    sheet.ground((x + 5.8, y - 2.1))
    sheet.wire((x + 7.6, y), (x + 7.6, y - 2.6))
    sheet.terminal((x + 7.6, y - 2.6), "", "left")
    sheet.text((x + 7.6, y - 3.2), name, align="center")
