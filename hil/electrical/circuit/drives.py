"""Sheets drive_pulsed and drive_held: one fuse, clamp, switch and on-time stage a coil."""

from dataclasses import replace

from hil.electrical.circuit import values
from hil.electrical.circuit.chips import place
from hil.electrical.circuit.parts import (
    Part,
    capacitor,
    clamp,
    connector,
    diode,
    fuse,
    mosfet,
    resistor,
    test_point,
    two,
)

PULSED = range(1, 25)
HELD = range(25, 27)
READ_BACK = range(1, 17)
PER_CONNECTOR = 8


def pulsed_parts() -> list[Part]:
    """The parts of the 24 pulsed drives."""
    found = []
    for drive in PULSED:
        found += [*_common(drive, 3), *_pulsed_clamp(drive)]
        if drive in READ_BACK:
            found += _read_back(drive)
    return found + [_connector(f"C{n + 1}", range(8 * n + 1, 8 * n + 9)) for n in range(3)]


def held_parts() -> list[Part]:
    """The parts of the two drives held by PWM."""
    found = []
    for drive in HELD:
        found += [*_common(drive, 4), _held_clamp(drive)]
    return [*found, _connector("C4", HELD)]


def _common(drive: int, sheet: int) -> list[Part]:
    mark = f"{sheet}{drive:02}"
    plus, drain, gate, pulse = f"COIL_{drive}+", f"DRAIN_{drive}", f"GATE_{drive}", f"PULSE_{drive}"
    coil = Part(
        f"L{mark}",
        "coil",
        "on the playfield",
        two(plus, drain),
        {"ohms": values.COIL_OHMS},
        values.COIL_HENRIES,
        off_board=True,
    )
    held = sheet == 4
    found = [
        fuse(
            f"F{mark}",
            values.COIL_FUSE_TEXT,
            "COIL_BUS",
            plus,
            63,
            values.COIL_FUSE_AMPERES,
            values.COIL_FUSE_BREAKS,
        ),
        coil,
        mosfet(f"Q{mark}", "N, logic level", gate, drain, "COIL_0V", V=values.MOSFET_VOLTS, A=28, gate_V=16),
        resistor(f"R{mark}1", values.GATE_SERIES, pulse, gate, why="parts the gate from the stage"),
        resistor(f"R{mark}2", values.GATE_DOWN, gate, "COIL_0V", why="off while nothing drives the gate"),
        *_on_time(drive, mark),
    ]
    if drive in (1, 25):
        name = "TP1", "TP2"
        found += (
            []
            if held
            else [
                test_point(name[0], plus, "coil bus"),
                test_point(name[1], drain, "coil bus when off, below 1.5 V when on, never above 80 V"),
            ]
        )
    return [_unit(part, drive) for part in found]


def _on_time(drive: int, mark: str) -> list[Part]:
    """The stage that ends a pulse by itself: only the edge of a drive passes C1, and R5 takes it away."""
    asked, edge, timed = f"DRIVE_{drive}", f"EDGE_{drive}", f"TIMED_{drive}"
    low, high = values.on_time_seconds()
    why = f"a pulse ends after {low * 1e3:.0f} to {high * 1e3:.0f} ms, whatever the code does"
    nets = {"A": timed, "Y": f"PULSE_{drive}", "GND": "0V", "VCC": "5V"}
    return [
        resistor(f"R{mark}3", values.DRIVE_DOWN, asked, "0V", why="off while the register's outputs float"),
        resistor(f"R{mark}4", values.EDGE_SERIES, asked, edge),
        capacitor(f"C{mark}1", values.ON_TIME_FARADS, 25, edge, timed, kind="X7R"),
        resistor(f"R{mark}5", values.ON_TIME_OHMS, timed, "0V", why=why),
        diode(f"D{mark}4", "diode", "1N4148", "0V", timed, 75, 0.2, "empties C1 between pulses"),
        place(f"U{mark}", "74LVC1G17", nets),
        capacitor(f"C{mark}2", 100e-9, 50, "5V", "0V", near=f"U{mark}"),
    ]


def _pulsed_clamp(drive: int) -> list[Part]:
    mark, between = f"D3{drive:02}", f"CLAMP_{drive}"
    drain, plus = f"DRAIN_{drive}", f"COIL_{drive}+"
    suppressor = diode(
        f"{mark}2",
        "suppressor",
        "20 V 1.5 kW",
        plus,
        between,
        values.CLAMP_VOLTS,
        50,
        "quick release; its voltage adds to the supply's at the drain",
    )
    return [
        _unit(diode(f"{mark}1", "diode", "200 V 3 A", drain, between, 200, 3), drive),
        _unit(suppressor, drive),
    ]


def _held_clamp(drive: int) -> Part:
    why = "plain: behind a zener the current would not last from pulse to pulse"
    drain, plus = f"DRAIN_{drive}", f"COIL_{drive}+"
    return _unit(diode(f"D4{drive:02}1", "diode", "200 V 4 A, 50 ns", drain, plus, 200, 4, why), drive)


def _read_back(drive: int) -> list[Part]:
    mark, back = f"3{drive:02}", f"BACK_{drive}"
    found = [
        resistor(f"R{mark}6", values.DRAIN_UPPER, f"DRAIN_{drive}", back),
        resistor(f"R{mark}7", values.DRAIN_LOWER, back, "0V"),
        clamp(f"D{mark}3", back, "3V3"),
    ]
    return [_unit(part, drive) for part in found]


def _connector(mark: str, drives: range) -> Part:
    nets = tuple(f"DRAIN_{n}" for n in drives) + tuple(f"COIL_{n}+" for n in drives)
    return connector(mark, "coils", nets, V=150, A=12)


def _unit(part: Part, drive: int) -> Part:
    return replace(part, unit=drive)
