"""Circuit sheet: one crossing of the lamp matrix, and the blanking that works without the code."""

from hil.electrical.drawings import values
from hil.electrical.drawings.sheet import Sheet


def lamps() -> Sheet:
    """The sheet: one crossing of the 8 × 8 lamp matrix."""
    sheet = Sheet("Lamps")
    sheet.text((0, 13.6), "Lamp matrix: one crossing, and its blanking", 15)
    _registers(sheet)
    _blanking(sheet)
    _column(sheet)
    _row(sheet)
    low, high = values.lamp_seconds()
    sheet.text(
        (0, -2.6),
        f"U6 blanks all lamps {low * 1e3:.0f} to {high * 1e3:.0f} ms after the last latch"
        " pulse: a halted strobe leaves"
        " no lamp burning at eight times its mean current.\n"
        "LED inserts with a resistor each: at 12 V and one eighth of the time, 100 Ω gives 80"
        " mA in its turn, 10 mA on"
        " the mean.\nBulbs of 6.3 V would need 17.8 V and burn with 12.6 W when the strobe"
        " halts: replace them by LEDs.",
    )
    return sheet


def _registers(sheet: Sheet) -> None:
    sheet.box((3, 7.5), 4, 3.4, "U4 74HCT595\n8 columns")
    sheet.box((3, 1.0), 4, 3.4, "U5 74HCT595\n8 rows")
    for y, name in ((10.2, "lamp_data"), (9.4, "lamp_clock"), (8.6, "lamp_latch")):
        sheet.terminal((0.6, y), name)
        sheet.wire((0.6, y), (3, y))
    sheet.wire((5, 7.5), (5, 4.4))
    sheet.text((5.25, 6.6), "serial out")
    sheet.wire((1.6, 9.4), (1.6, 2.6), (3, 2.6))
    sheet.wire((2.2, 8.6), (2.2, 1.8), (3, 1.8))
    sheet.dot((1.6, 9.4), (2.2, 8.6))


def _blanking(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.box((8.6, 4.9), 3.6, 1.8, "U6 half 74HCT423\nB: lamp_latch", 9.5)
    sheet.wire((2.2, 5.4), (8.6, 5.4))
    sheet.dot((2.2, 5.4))
    sheet.box((9.4, 3.4), 2.8, 1.0, "OR, 74HCT1G32", 9.5)
    sheet.wire((12.2, 5.4), (12.8, 5.4), (12.8, 4.1), (12.2, 4.1))
    sheet.text((12.45, 5.75), "/Q")
    sheet.wire((12.2, 3.7), (13.4, 3.7))
    sheet.wire((7, 3.9), (9.4, 3.9))
    sheet.terminal((16.2, 3.7), "lamp_blank", "left")
    sheet.wire((13.4, 3.7), (16.2, 3.7))
    sheet.text((7.25, 4.2), "/OE")
    sheet.wire((7.9, 3.9), (7.9, 8.0), (7, 8.0))
    sheet.text((7.25, 8.3), "/OE")
    sheet.dot((7.9, 3.9))
    sheet.dot((14.8, 3.7))
    sheet.put(e.ResistorIEC(), (14.8, 3.7), (14.8, 5.4), "10 kΩ")
    sheet.rail((14.8, 5.4), "")
    sheet.text((15.2, 5.65), "5 V")


def _column(sheet: Sheet) -> None:
    """High side: a small N-channel pulls the P-channel's gate down."""
    e = sheet.elements
    sheet.wire((7, 10.2), (9, 10.2))
    sheet.put(e.ResistorIEC(), (9, 10.2), (11, 10.2), "100 Ω")
    gate, source = sheet.mosfet((14.6, 10.95))
    sheet.wire((11, 10.2), gate)
    sheet.dot((12, 10.2))
    sheet.put(e.ResistorIEC(), (12, 10.2), (12, 8.6), "100 kΩ", dx=-0.1)
    sheet.ground((12, 8.6))
    sheet.text((15, 10.2), "Q5\n2N7002")
    sheet.ground(source)
    sheet.put(e.ResistorIEC(), (14.6, 10.95), (17, 10.95), "1 kΩ")
    sheet.put(e.ResistorIEC(), (17.4, 12.7), (17.4, 10.95), "", dx=0)
    sheet.text((17.05, 12.0), "10 kΩ", align="right")
    sheet.wire((17, 10.95), (18.63, 10.95))
    sheet.dot((17.4, 10.95))
    sheet.p_mosfet((20, 11.7))
    sheet.wire((17.4, 12.7), (20, 12.7), (20, 11.7))
    sheet.rail((20, 12.7), "12 V, fused 3 A")
    sheet.text((20.4, 11.2), "Q6 P-channel\n30 V, 5 A")
    sheet.wire((20, 10.2), (20, 8.6))
    sheet.text((20.3, 9.3), "column wire")


def _row(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.put(e.ResistorIEC(), (20, 8.6), (20, 6.6), "100 Ω\n1 W")
    sheet.put(e.LED(), (20, 6.6), (20, 4.6), "")
    sheet.text((19.6, 5.6), "insert\nLED", align="right")
    sheet.wire((20, 4.6), (20, 3.0))
    sheet.text((20.3, 3.8), "row wire")
    gate, source = sheet.mosfet((20, 3.0))
    sheet.text((20.4, 2.3), "Q7 60 V, logic level")
    sheet.wire(source, (20, 1.0))
    sheet.ground((20, 1.0))
    sheet.wire((7, 2.25), (12, 2.25))
    sheet.put(e.ResistorIEC(), (12, 2.25), (14.4, 2.25), "100 Ω")
    sheet.wire((14.4, 2.25), gate)
    sheet.dot((16, 2.25))
    sheet.put(e.ResistorIEC(), (16, 2.25), (16, 0.6), "100 kΩ")
    sheet.ground((16, 0.6))
