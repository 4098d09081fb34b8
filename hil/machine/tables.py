"""What a machine file gives: the wiring tables, and the tables that only a host reads."""

from dataclasses import dataclass

from hil.game_tables import CoilRow, LampRow, ReflexRow, SwitchRow
from hil.host_tables import KeyGroup
from hil.machine.expansion import Strokes

Row = tuple[object, ...]


@dataclass(frozen=True)
class WiringTables:
    """The tables of a game's wiring.py, in the order in which they stand there."""

    SWITCHES: tuple[SwitchRow, ...]
    LAMPS: tuple[LampRow, ...]
    COILS: tuple[CoilRow, ...]
    HEAT: tuple[tuple[str, int, int, int], ...]
    SUPPLY_MA: int
    COIL_VOLTS_LOW_MV: int
    REFLEXES: tuple[ReflexRow, ...]
    FLIPPERS: tuple[tuple[str, str, str, str, int], ...]
    SEARCH: tuple[tuple[str, int, str], ...]
    DISPLAYS: tuple[tuple[str, int, int, str], ...]
    CHIMES: tuple[tuple[str, Strokes], ...]
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
    DEVICES: tuple[Row, ...]
    LATCHES: tuple[Row, ...]
    FLIPPERS: tuple[Row, ...]
    WHEELS: tuple[Row, ...]
    WEAK: tuple[Row, ...]
    SHOTS: tuple[Row, ...]
    ROUTES: tuple[Row, ...]
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
