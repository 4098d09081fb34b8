"""Circuit sheet: the hardware guard of the drives, two one-shots that only running code keeps triggered."""

from hil.electrical.drawings import values
from hil.electrical.drawings.sheet import Sheet


def guard() -> Sheet:
    """The sheet: feed signals in, output enable and supply relay out."""
    sheet = Sheet("Guard")
    sheet.text((0, 15), "Guard: coils are possible only while the code feeds it", 15)
    _feed(sheet)
    _one_shot(sheet, 8.0, "A", values.GUARD_OHMS, values.GUARD_FARADS, values.guard_seconds())
    _one_shot(sheet, 1.0, "B", values.SUPPLY_OHMS, values.SUPPLY_FARADS, values.supply_seconds())
    _enable(sheet)
    _relay(sheet)
    _clear(sheet)
    sheet.text(
        (0, -5.6),
        "U1 is a 74HCT423: retriggerable, and unlike its sister 123 not started by the end of"
        " its reset. Both halves"
        " see rising edges only,\nso a feed stuck high drops out like one stuck low. HCT"
        " because the feed is 3.3 V."
        " Feed pin: plain output, written by the\n1 kHz callback after all its checks; never"
        " a PIO, PWM or DMA pin,"
        " for those go on when the program has died.",
    )
    return sheet


def _feed(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.terminal((1.6, 10.6), "guard_feed, 500 Hz\nfrom the Pico")
    sheet.put(e.ResistorIEC(), (1.6, 10.6), (4.4, 10.6), "1 kΩ")
    sheet.wire((4.4, 10.6), (8, 10.6))
    sheet.dot((5.2, 10.6))
    sheet.put(e.ResistorIEC(), (5.2, 10.6), (5.2, 8.4), "100 kΩ", dx=-2.3)
    sheet.ground((5.2, 8.4))
    sheet.test_point((7.3, 10.6), "TP3")
    sheet.terminal((1.6, 3.6), "supply_feed, 500 Hz\nfrom the Pico")
    sheet.put(e.ResistorIEC(), (1.6, 3.6), (4.4, 3.6), "1 kΩ")
    sheet.wire((4.4, 3.6), (8, 3.6))
    sheet.dot((4.9, 3.6))
    sheet.put(e.ResistorIEC(), (4.9, 3.6), (4.9, 1.6), "100 kΩ", dx=-2.3)
    sheet.ground((4.9, 1.6))


def _one_shot(
    sheet: Sheet, y: float, half: str, ohms: float, farads: float, seconds: tuple[float, float]
) -> None:
    """One half of U1: B in at the left, Q and /Q out at the right, R and C above."""
    e = sheet.elements
    sheet.box((8, y), 4, 3.6, f"U1{half}\n74HCT423\n{seconds[0] * 1e3:.0f} to {seconds[1] * 1e3:.0f} ms")
    sheet.text((8.15, y + 2.6), "B")
    sheet.text((8.15, y + 1.6), "/A")
    sheet.wire((8, y + 1.6), (7.4, y + 1.6), (7.4, y + 1.3))
    sheet.ground((7.4, y + 1.3))
    sheet.text((8.15, y + 0.5), "/CLR")
    sheet.text((11.85, y + 2.6), "Q", align="right")
    sheet.text((11.85, y + 0.5), "/Q", align="right")
    top = y + 3.6
    sheet.wire((9, top), (9, top + 0.5))
    sheet.put(e.Capacitor(), (9, top + 0.5), (11, top + 0.5), "")
    sheet.text((8.8, top + 0.5), f"{farads * 1e9:.0f} nF film", align="right")
    sheet.wire((11, top), (11, top + 0.5))
    sheet.dot((11, top + 0.5))
    sheet.put(e.ResistorIEC(), (11, top + 0.5), (13.6, top + 0.5), "")
    sheet.text((12.3, top + 1.05), f"{ohms / 1e3:.0f} kΩ 1 %", align="center")
    sheet.rail((13.6, top + 0.5), "")
    sheet.text((13.95, top + 0.75), "5 V")


def _enable(sheet: Sheet) -> None:
    """/Q of A is the output enable, and is read back."""
    e = sheet.elements
    sheet.wire((12, 8.5), (18.6, 8.5))
    sheet.dot((13.4, 8.5))
    sheet.put(e.ResistorIEC(), (13.4, 8.5), (13.4, 9.9), "10 kΩ")
    sheet.rail((13.4, 9.8), "")
    sheet.text((13.75, 10.0), "5 V")
    sheet.test_point((17.3, 8.5), "TP4 /OE")
    sheet.terminal(
        (18.6, 8.5), "/OE of every 74HCT595 (24 drives)\nand of the 74HCT125 (2 PWM drives)", "left"
    )
    sheet.wire((15.4, 8.5), (15.4, 12.6), (16.4, 12.6))
    sheet.dot((15.4, 8.5))
    sheet.put(e.ResistorIEC(), (16.4, 12.6), (18.6, 12.6), "10 kΩ")
    sheet.wire((18.6, 12.6), (20.4, 12.6))
    sheet.dot((19.2, 12.6))
    sheet.put(e.ResistorIEC(), (19.2, 12.6), (19.2, 10.8), "18 kΩ", dy=0.1)
    sheet.ground((19.2, 10.8))
    sheet.terminal((20.4, 12.6), "guard_state to the Pico: 0 V\nwhile coils are possible, else 3.2 V", "left")


def _relay(sheet: Sheet) -> None:
    """Q of B pulls the supply relay in."""
    e = sheet.elements
    sheet.wire((12, 3.6), (13.2, 3.6))
    sheet.put(e.ResistorIEC(), (13.2, 3.6), (15.2, 3.6), "100 Ω")
    gate, source = sheet.mosfet((18, 4.35))
    sheet.wire((15.2, 3.6), gate)
    sheet.dot((15.8, 3.6))
    sheet.put(e.ResistorIEC(), (15.8, 3.6), (15.8, 1.7), "10 kΩ", dx=-2.0)
    sheet.ground((15.8, 1.7))
    sheet.wire(source, (18, 2.5))
    sheet.ground((18, 2.5))
    sheet.text((18.3, 3.2), "Q2 60 V, logic level")
    sheet.wire((18, 4.35), (18, 4.6))
    sheet.put(e.Inductor2(), (18, 6.6), (18, 4.6), "")
    sheet.text((17.6, 5.6), "K1 coil", align="right")
    sheet.wire((18, 4.6), (19.6, 4.6))
    sheet.dot((18, 4.6), (18, 6.6))
    sheet.wire((18, 6.6), (19.6, 6.6))
    sheet.put(e.Diode(), (19.6, 4.6), (19.6, 6.6), "1N4007")
    sheet.rail((18, 6.6), "relay supply, 12 V")


def _clear(sheet: Sheet) -> None:
    """The reset both halves share: supervisor and the door's second pole."""
    e = sheet.elements
    y = -2.6
    sheet.wire((8, 8.5), (5.9, 8.5), (5.9, y))
    sheet.wire((8, 1.5), (5.9, 1.5))
    sheet.dot((5.9, 1.5), (5.9, y))
    sheet.rail((0.4, y + 0.4), "5 V")
    sheet.wire((0.4, y + 0.4), (0.4, y))
    sheet.put(e.ResistorIEC(), (0.4, y), (2.4, y), "1 kΩ")
    sheet.put(e.Switch(), (2.4, y), (4.6, y), "")
    sheet.text((3.5, y - 0.75), "S1b, door: closed\nwhile the door is shut", align="center")
    sheet.wire((4.6, y), (9.4, y))
    sheet.dot((7.4, y))
    sheet.put(e.ResistorIEC(), (7.4, y), (7.4, y - 1.7), "10 kΩ", dx=-2.0)
    sheet.ground((7.4, y - 1.7))
    sheet.dot((8.6, y))
    sheet.wire((8.6, y), (8.6, y - 1.6), (9.4, y - 1.6))
    sheet.box((9.4, y - 2.1), 4.4, 1.0, "inverter, 74HCT1G04", 9.5)
    sheet.wire((13.8, y - 1.6), (14.4, y - 1.6))
    sheet.terminal(
        (14.4, y - 1.6), "through 10 kΩ and 18 kΩ to the Pico:\ninterlock, low while the door is shut", "left"
    )
    sheet.box((9.4, y - 0.6), 4.4, 1.2, "reset supervisor, 4.5 V,\nopen drain (MCP130-450)", 9.5)
    sheet.text((14.1, y), "A broken wire, an open door and a low 5 V\nall reset both halves at once.")
