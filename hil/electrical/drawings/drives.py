"""Circuit sheets: the two kinds of coil drive, pulsed and held by PWM."""

from hil.electrical.drawings import values
from hil.electrical.drawings.sheet import Sheet

TOP = 9.0
NODE = 5.0


def pulsed() -> Sheet:
    """The sheet of a pulsed drive: quick release into a suppressor."""
    sheet = _drive("Drive, pulsed", "from a 74HCT595 output\n(5 V, off while /OE is high)")
    e = sheet.elements
    sheet.put(e.Zener(), (11, TOP), (11, 7), "D2 suppressor\n20 V, 1.5 kW\n(1.5KE20A)")
    sheet.put(e.Diode(), (11, NODE), (11, 7), "D1 200 V, 3 A")
    sheet.text((0, -0.2), _pulsed_note())
    return sheet


def held() -> Sheet:
    """The sheet of a drive with PWM hold: a plain fast diode keeps the current flowing."""
    sheet = _drive("Drive, held by PWM", "from a 74HCT125 output\n(5 V, off while /OE is high)")
    sheet.put(sheet.elements.Diode(), (11, NODE), (11, TOP), "D1 ultrafast\n200 V, 4 A\n(MUR420)")
    sheet.text(
        (0, -0.2),
        "No zener here: between two PWM pulses it would take the current out of the coil and"
        " nothing would hold.\n"
        "Strong pulse first, then about 10 % at 1 kHz. Its fuse is chosen as for a pulsed"
        " drive: a MOSFET that\n"
        "fails shorted leaves the whole supply on the strong winding.",
    )
    return sheet


def _pulsed_note() -> str:
    peak = values.COIL_SUPPLY * 1.1 + values.CLAMP_VOLTS + 0.7
    return (
        f"Drain peak at high mains {peak:.0f} V; the MOSFET is rated {values.MOSFET_VOLTS:.0f}"
        " V, so that it stays below"
        " 80 % of its rating.\n"
        "D1 and D2 sit at the board, directly between the drain and the fused side of the"
        " coil: when F opens,\n"
        "the current still has its way round. One fuse a coil, sized by 'inlane coil' for that coil."
    )


def _drive(title: str, source: str) -> Sheet:
    sheet = Sheet(title)
    e = sheet.elements
    sheet.text((0, 11), title, 15)
    sheet.terminal((2, TOP), f"coil bus +{values.COIL_SUPPLY:.0f} V")
    sheet.put(e.FuseIEC(), (2, TOP), (5, TOP), f"F {values.COIL_FUSE.replace(' ', ' A ')}")
    sheet.wire((5, TOP), (11, TOP))
    sheet.test_point((5.6, TOP), "TP1")
    sheet.dot((7, TOP), (11, TOP))
    sheet.put(e.Inductor2(), (7, TOP - 0.6), (7, NODE + 0.6), "coil")
    sheet.wire((7, TOP), (7, TOP - 0.6))
    sheet.wire((7, NODE + 0.6), (7, NODE))
    sheet.dashed((5.9, NODE + 0.4), 2.9, TOP - NODE - 0.8, "")
    sheet.text((5.7, 7), "on the\nplayfield", align="right")
    sheet.wire((7, NODE), (12.6, NODE))
    sheet.dot((7, NODE), (11, NODE))
    gate, source_at = sheet.mosfet((7, NODE))
    sheet.text((7.3, 4.3), f"Q1 {values.MOSFET_VOLTS:.0f} V, logic level\nat 5 V gate (IRL540N)")
    sheet.wire(source_at, (7, 2.6))
    sheet.ground((7, 2.6))
    sheet.text((7.5, 2.2), "to the star point, by\nits own heavy wire")
    sheet.terminal((1.4, gate[1]), source)
    sheet.put(e.ResistorIEC(), (1.4, gate[1]), (4.4, gate[1]), f"RG {values.GATE_SERIES:.0f} Ω")
    sheet.wire((4.4, gate[1]), gate)
    sheet.dot((4.8, gate[1]))
    sheet.put(e.ResistorIEC(), (4.8, gate[1]), (4.8, 1.9), f"RD {values.GATE_DOWN / 1e3:.0f} kΩ", dx=-2.2)
    sheet.ground((4.8, 1.9))
    _read_back(sheet)
    return sheet


def _read_back(sheet: Sheet) -> None:
    """The drain's divider and clamp, to the right."""
    e = sheet.elements
    sheet.test_point((12.6, NODE), "TP2 drain", dy=0.4)
    sheet.put(e.ResistorIEC(), (12.6, NODE), (15.6, NODE), f"R1 {values.DRAIN_UPPER / 1e3:.0f} kΩ")
    sheet.wire((15.6, NODE), (20.4, NODE))
    sheet.dot((16, NODE), (18.4, NODE))
    sheet.put(e.ResistorIEC(), (16, NODE), (16, 2.9), f"R2\n{values.DRAIN_LOWER / 1e3:.0f} kΩ")
    sheet.ground((16, 2.9))
    sheet.put(e.Schottky(), (18.4, NODE), (18.4, 7), "D3a")
    sheet.rail((18.4, 7), "3.3 V")
    sheet.put(e.Schottky(), (18.4, 2.9), (18.4, NODE), "D3b")
    sheet.ground((18.4, 2.9))
    sheet.terminal((20.4, NODE), "drain read-back\nto a 74HC165 (3.3 V)", "left")
    sheet.text((16, 1.3), "D3: BAT54S. High while the drive is off\nand coil, fuse and supply are whole.")
