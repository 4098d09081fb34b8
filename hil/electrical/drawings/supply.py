"""Circuit sheet: the coil supply, from the bought unit to the coil bus."""

from typing import TYPE_CHECKING

from hil.electrical.drawings import values
from hil.electrical.drawings.sheet import Sheet
from hil.electrical.sums.supply import Reservoir

if TYPE_CHECKING:
    from schemdraw.elements import Element2Term

PLUS = 9.0
ZERO = 2.0


def supply() -> Sheet:
    """The sheet of the coil supply."""
    sheet = Sheet("Coil supply")
    e = sheet.elements
    sheet.text((0, 12.4), "Coil supply, from a bought and enclosed unit to the coil bus", 15)
    sheet.box(
        (0, ZERO - 0.6),
        3.4,
        PLUS - ZERO + 1.2,
        f"isolated supply\n{values.COIL_SUPPLY:.0f} V DC\n\nbought,"
        " enclosed,\ncertified\n\nmains side: not\npart of this\nproject",
        9.5,
    )
    sheet.wire((3.4, ZERO), (22.4, ZERO))
    sheet.put(e.ResistorIEC(), (22.4, ZERO), (25, ZERO), "")
    sheet.text((23.7, ZERO - 0.8), "RS 1 mΩ 3 W, to U7:\ncoil amperes", align="center")
    sheet.wire((25, ZERO), (32, ZERO))
    sheet.wire((3.4, PLUS), (4, PLUS))
    sheet.put(e.FuseIEC(), (4, PLUS), (6.6, PLUS), f"F0 {values.MAIN_FUSE:g} A slow,\nrated 63 V DC or more")
    _precharge(sheet)
    _reservoir(sheet)
    _contacts(sheet)
    _bus(sheet)
    sheet.text((0, -1.2), _note())
    return sheet


def _precharge(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.wire((6.6, PLUS), (7.2, PLUS))
    sheet.dot((7.2, PLUS), (10.2, PLUS))
    sheet.put(e.ResistorIEC(), (7.2, PLUS), (10.2, PLUS), "")
    sheet.text((8.7, PLUS - 0.75), f"RP {values.PRECHARGE:.0f} Ω 5 W\nfusible", align="center")
    sheet.wire((7.2, PLUS), (7.2, PLUS + 1.4))
    sheet.put(e.Switch(), (7.2, PLUS + 1.4), (10.2, PLUS + 1.4), "")
    sheet.text((8.7, PLUS + 2.3), "K2 contact", align="center")
    sheet.wire((10.2, PLUS + 1.4), (10.2, PLUS))


def _reservoir(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.wire((10.2, PLUS), (21.2, PLUS))
    for x in (11.2, 13.4, 16.0, 19.4):
        sheet.dot((x, PLUS), (x, ZERO))
    _upright(sheet, e.Inductor2(), 11.2, "K2\ncoil\n48 V")
    _upright(
        sheet,
        e.Capacitor2(),
        13.4,
        f"C1\n{values.RESERVOIR * 1e6:.0f} µF\n{values.RESERVOIR_RATING:.0f} V",
    )
    _upright(sheet, e.ResistorIEC(), 16.0, f"RB\n{values.BLEEDER / 1e3:.1f} kΩ\n5 W")
    _lamp(sheet, 19.4, "LED1\nstored\nenergy")
    sheet.test_point((12.4, PLUS), "TP5")
    sheet.wire((13.4, ZERO), (13.4, ZERO - 0.4))
    sheet.ground((13.4, ZERO - 0.4))
    sheet.text((14.1, ZERO - 1.0), "star point: the only place where\nlogic 0 V and coil 0 V meet")


def _upright(sheet: Sheet, kind: "Element2Term", x: float, name: str) -> None:
    sheet.wire((x, PLUS), (x, 6.8))
    sheet.put(kind, (x, 6.8), (x, 4.4), name)
    sheet.wire((x, 4.4), (x, ZERO))


def _lamp(sheet: Sheet, x: float, name: str) -> None:
    e = sheet.elements
    sheet.put(e.ResistorIEC(), (x, PLUS), (x, 6.4), "10 kΩ\n0.5 W")
    sheet.put(e.LED(), (x, 6.2), (x, 4.2), "")
    sheet.wire((x, 6.4), (x, 6.2))
    sheet.text((x - 0.5, 5.2), name, align="right")
    sheet.wire((x, 4.2), (x, ZERO))


def _contacts(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.put(e.Switch(), (21.2, PLUS), (23, PLUS), "")
    sheet.put(e.Switch(), (23, PLUS), (24.8, PLUS), "")
    sheet.text((22.8, PLUS + 1.7), "K1, two contacts\nin series, printed\nDC rating", align="center")
    sheet.put(e.Switch(), (24.8, PLUS), (26.8, PLUS), "")
    sheet.text((25.7, PLUS - 0.8), "S1a, door", align="center")


def _bus(sheet: Sheet) -> None:
    e = sheet.elements
    sheet.wire((26.8, PLUS), (32, PLUS))
    for x in (27.2, 30.6):
        sheet.dot((x, PLUS), (x, ZERO))
    _upright(sheet, e.ResistorIEC(), 27.2, f"RX\n{values.BUS_DISCHARGE / 1e3:.1f} kΩ\n5 W")
    _lamp(sheet, 30.6, "LED2\nbus\nlive")
    sheet.test_point((28.4, PLUS), "TP6")
    sheet.terminal((32, PLUS), "coil bus: one\nfuse a coil", "left")
    sheet.terminal((32, ZERO), "coil 0 V", "left")


def _note() -> str:
    worst = Reservoir(values.COIL_SUPPLY, values.RESERVOIR).worst()
    down = worst.seconds_to(10, values.BLEEDER)
    return (
        f"C1 holds {worst.joules:.0f} J at the worst corner ({worst.volts:.0f} V, +20 %"
        " capacitance); RB brings it to 10 V"
        f" in {down:.0f} s and takes {worst.watts(values.BLEEDER):.1f} W. RX does the same for"
        " the bus when the door opens.\n"
        "RP limits the charging current; K2 pulls in by itself at about 36 V and takes RP"
        " out. S1 breaks behind the"
        " reservoir, so that an open door leaves no energy on the playfield.\n"
        "The second pole of S1 resets the guard (sheet 'guard'): the drives are off before the contact arcs."
        " A supply above 60 V needs covers, interlock, discharge and signs: see boards/SAFETY.md."
    )
