"""What a machine file gives: the wiring tables, and the tables that only a host reads."""

from dataclasses import dataclass

from hil.game_tables import (
    ChimeRow,
    CoilRow,
    DisplayRow,
    FlipperRow,
    HeatRow,
    LampRow,
    ReflexRow,
    SwitchRow,
)
from hil.host_tables import (
    BatRow,
    DeviceRow,
    DropTargetRow,
    KeyGroup,
    RouteRow,
    Row,
    ShotRow,
    WeakCoilRow,
    WheelRow,
)


@dataclass(frozen=True)
class WiringTables:
    """The tables of a game's wiring.py, in the order in which they stand there."""

    SWITCHES: tuple[SwitchRow, ...]
    LAMPS: tuple[LampRow, ...]
    COILS: tuple[CoilRow, ...]
    HEAT: tuple[HeatRow, ...]
    SUPPLY_MA: int
    COIL_VOLTS_LOW_MV: int
    REFLEXES: tuple[ReflexRow, ...]
    FLIPPERS: tuple[FlipperRow, ...]
    SEARCH: tuple[tuple[str, int, str], ...]
    DISPLAYS: tuple[DisplayRow, ...]
    CHIMES: tuple[ChimeRow, ...]
    LATCHED: tuple[str, ...]
    INVERTED: tuple[str, ...]
    TROUGH: tuple[str, ...]
    BALLS: int
    PLAYERS: int


@dataclass(frozen=True)
class HostTables:
    """The tables of a game's host/tables.py."""

    BALLS: int
    HOME: str
    DEVICES: tuple[DeviceRow, ...]
    LATCHES: tuple[DropTargetRow, ...]
    FLIPPERS: tuple[BatRow, ...]
    WHEELS: tuple[WheelRow, ...]
    WEAK: tuple[WeakCoilRow, ...]
    SHOTS: tuple[ShotRow, ...]
    ROUTES: tuple[RouteRow, ...]
    KEYS: tuple[KeyGroup, ...]
    OPTOS: tuple[Row, ...]
    SUPPLY: Row
    COILS: tuple[Row, ...]


@dataclass(frozen=True)
class MachineTables:
    """Both, and the line of the machine file that gives each coil."""

    wiring: WiringTables
    host: HostTables
    coil_lines: dict[str, int]
