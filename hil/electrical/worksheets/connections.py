"""Assigns a wiring table to connectors, pins and wire colours of the reference board.

Connectors are ours: S for switches, D direct inputs, L lamps, C coils; pin 1 is marked on the board.
"""

from dataclasses import dataclass

from firmware.base.errors import GameError
from hil.electrical.worksheets.colours import colour
from hil.game_tables import (
    CoilRow,
    DisplayRow,
    FlipperRow,
    WiringTables,
    coil_rows,
    display_rows,
    lamp_rows,
    switch_rows,
)

ROWS = 8
COLUMNS = 8
DIRECT = 16
DRIVES = 24
HELD = 2
PER_COIL_CONNECTOR = 8


@dataclass(frozen=True)
class Wire:
    """One wire from the board: connector and pin (from 1), kind and number, colour code."""

    connector: str
    pin: int
    what: str
    number: int
    code: str

    @property
    def at(self) -> str:
        """Connector and pin as a label, such as S1.3."""
        return f"{self.connector}.{self.pin}"


@dataclass(frozen=True)
class Crossing:
    """A switch or a lamp between a row and a column wire."""

    name: str
    row: int
    column: int
    row_wire: Wire
    column_wire: Wire
    note: str = ""


@dataclass(frozen=True)
class Direct:
    """A switch between its own wire and logic 0 V."""

    name: str
    number: int
    wire: Wire


@dataclass(frozen=True)
class Coil:
    """A coil between the fused bus and its drive; `shares`: the coil whose winding and bus wire it has."""

    name: str
    kind: str
    drive: int
    wire: Wire
    bus: Wire
    pulse: int
    longest: int
    shares: str = ""


@dataclass(frozen=True)
class Connections:
    """The connections of one game."""

    switches: tuple[Crossing, ...]
    direct: tuple[Direct, ...]
    lamps: tuple[Crossing, ...]
    coils: tuple[Coil, ...]
    displays: tuple[DisplayRow, ...]


def wire(what: str, number: int) -> Wire:
    """The wire of this kind and number. Raises GameError beyond the colour scheme."""
    connector, pin = _pin(what, number)
    return Wire(connector, pin, what, number, colour(what, number))


def _pin(what: str, number: int) -> tuple[str, int]:
    if what == "drive":
        return f"C{(number - 1) // PER_COIL_CONNECTOR + 1}", (number - 1) % PER_COIL_CONNECTOR + 1
    if what == "held drive":
        return "C4", number
    if what == "direct":
        return "D1", number
    name = {"switch row": "S1", "switch column": "S2", "lamp row": "L1", "lamp column": "L2"}[what]
    return name, number


def bus(drive: int) -> Wire:
    """The fused side of a drive's coil, in the second half of the drive's connector."""
    number = drive if drive <= DRIVES else drive - DRIVES
    connector, pin = _pin("drive" if drive <= DRIVES else "held drive", number)
    offset = PER_COIL_CONNECTOR if drive <= DRIVES else HELD
    return Wire(connector, pin + offset, "coil bus", drive, colour("coil bus", drive))


def of_wiring(wiring: WiringTables) -> Connections:
    """The connections of a wiring table. Raises GameError: out of range, or two things at one place."""
    switches: list[Crossing] = []
    direct: list[Direct] = []
    for switch in switch_rows(wiring):
        if switch.is_direct:
            _within(f"switch '{switch.name}'", "direct input", switch.column, DIRECT)
            direct.append(Direct(switch.name, switch.column, wire("direct", switch.column)))
        else:
            switches.append(_crossing("switch", switch.name, switch.row, switch.column))
    # Lamps on a chain (row 0) have no wires of their own.
    lamps = [
        _crossing("lamp", lamp.name, lamp.row, lamp.column, lamp.colour)
        for lamp in lamp_rows(wiring)
        if lamp.row
    ]
    strong = _one_winding(wiring)
    coils = [_coil(row, strong.get(row.name, "")) for row in coil_rows(wiring)]
    _once("switches", [(one.name, f"row {one.row}, column {one.column}") for one in switches])
    _once("switches", [(one.name, f"direct input {one.number}") for one in direct])
    _once("lamps", [(one.name, f"row {one.row}, column {one.column}") for one in lamps])
    _once("coils", [(one.name, f"drive {one.drive}") for one in coils])
    return Connections(tuple(switches), tuple(direct), tuple(lamps), tuple(coils), display_rows(wiring))


def _crossing(what: str, name: str, row: int, column: int, note: str = "") -> Crossing:
    _within(f"{what} '{name}'", "row", row, ROWS)
    _within(f"{what} '{name}'", "column", column, COLUMNS)
    return Crossing(name, row, column, wire(f"{what} row", row), wire(f"{what} column", column), note)


def _one_winding(wiring: WiringTables) -> dict[str, str]:
    """The strong coil by each held drive of a flipper: two drives on its one winding."""
    held = {row.name for row in coil_rows(wiring) if row.drive > DRIVES}
    flippers = [FlipperRow(*row) for row in getattr(wiring, "FLIPPERS", ())]
    return {row.hold: row.strong for row in flippers if row.hold in held}


def _coil(row: CoilRow, shares: str) -> Coil:
    _within(f"coil '{row.name}'", "drive", row.drive, DRIVES + HELD)
    own = wire("drive", row.drive) if row.drive <= DRIVES else wire("held drive", row.drive - DRIVES)
    return Coil(row.name, row.kind, row.drive, own, bus(row.drive), row.pulse_ms, row.longest_ms, shares)


def _within(who: str, what: str, number: int, most: int) -> None:
    if not 1 <= number <= most:
        raise GameError(f"{who} is at {what} {number}; the board has {what} 1 to {most}")


def _once(what: str, taken_by: list[tuple[str, str]]) -> None:
    taken: dict[str, str] = {}
    for name, place in taken_by:
        if place in taken:
            raise GameError(f"{what} '{taken[place]}' and '{name}' are both at {place}")
        taken[place] = name
