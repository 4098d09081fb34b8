"""Circuit sheet: the logic supply, USB and the Pico."""

from hil.electrical.drawings import values
from hil.electrical.drawings.sheet import Sheet


def logic() -> Sheet:
    """Block diagram: the logic supply, and the isolation of the bench's computer from the coils."""
    sheet = Sheet("Logic and USB")
    sheet.text((0, 13.2), "Logic supply, USB and the Pico", 15)
    _usb(sheet)
    _rail(sheet)
    _around(sheet)
    sheet.text(
        (0, -1.3),
        "The Pico's VBUS pin is joined to nothing: a computer must never feed the 5 V rail,"
        " nor the rail a computer.\n"
        "Without the isolator, coil currents find their way home through the computer: no"
        " isolator, no coil supply.",
    )
    return sheet


def _usb(sheet: Sheet) -> None:
    sheet.box((0, 9), 3.2, 2, "computer\nof the bench")
    sheet.wire((3.2, 10), (5.2, 10))
    sheet.text((4.2, 10.35), "USB", align="center")
    sheet.box((5.2, 9), 3.6, 2, "USB isolator\n1 kV or more")
    sheet.wire((8.8, 10), (11, 10))
    sheet.text((9.9, 10.35), "USB", align="center")
    sheet.box((11, 2), 4.6, 9.4, "Raspberry Pi\nPico\n(RP2040)")
    sheet.text((11.2, 10), "USB")
    sheet.terminal((10.2, 8.4), "VBUS: left open")
    sheet.wire((10.2, 8.4), (11, 8.4))
    sheet.text((11.2, 8.4), "VBUS")


def _rail(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.box((0, 4.2), 3.2, 2.4, "5 V supply\n2 A, isolated,\nbought", 9.5)
    sheet.put(e.FuseIEC(), (3.2, 6), (5.4, 6), "2 A")
    sheet.wire((5.4, 6), (8, 6))
    sheet.dot((6, 6))
    sheet.rail((6, 6), "5 V rail")
    sheet.test_point((5.4, 6), "TP7", dx=-0.1, dy=-0.4)
    sheet.put(e.Zener(), (7.2, 3.4), (7.2, 6), "")
    sheet.dot((7.2, 6))
    sheet.text((6.8, 4.4), "suppressor\n5.6 V, 600 W", align="right")
    sheet.ground((7.2, 3.4))
    sheet.put(e.Schottky(), (8, 6), (10.2, 6), "1N5817")
    sheet.wire((10.2, 6), (11, 6))
    sheet.text((11.2, 6), "VSYS")
    sheet.wire((3.2, 4.8), (3.8, 4.8), (3.8, 2.4))
    sheet.ground((3.8, 2.4))
    sheet.text((4.1, 1.9), "to the star point")
    sheet.wire((11, 3), (9.6, 3), (9.6, 2.4))
    sheet.ground((9.6, 2.4))
    sheet.text((11.2, 3), "GND")


def _around(sheet: Sheet) -> None:
    bus, rail = f"1:{values.CONVERTER_BUS}", f"1:{values.CONVERTER_LOGIC}"
    rows = (
        (10.4, "I²C", "two displays, 16 characters each; FRAM 8 KB (FM24CL64B) for what is kept"),
        (9.0, "SPI", "74HCT595 × 3 (5 V): 24 drives, looped back through 1 kΩ and 1.8 kΩ"),
        (7.6, "PWM", "74HCT125: 2 held drives"),
        (6.2, "PIO", "74HC165 × 5 (3.3 V), column 74HCT595 (5 V): switches and drains"),
        (4.8, "PIO", "74HCT595 × 2: lamp columns and rows, and lamp_blank"),
        (3.4, "FEED", "guard_feed, supply_feed; guard_state and interlock read back"),
        (2.6, "ADC", f"coil bus {bus}, 5 V rail {rail}, coil amperes 50 mV/A; each clamped"),
    )
    for y, name, words in rows:
        sheet.text((15.4, y), name, align="right")
        sheet.wire((15.6, y), (17.4, y))
        sheet.text((17.7, y), words)
