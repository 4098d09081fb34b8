"""The tables of a game that only a host reads: made from its machine file, what is irregular put over them.

`host/tables.py` is made; `host/routes.py`, `host/keys.py` and `host/coils.py` are written by hand. A row
by hand takes the place of the made row of the same name, another is added behind; so does a value by hand.

Tables are plain tuples. `rows` reads one into rows with named fields, and this module alone knows their order
among the host's tools; the plant, which is independent of them, has the same fields in `simulator.routes`.
"""

from collections.abc import Iterable
from types import ModuleType
from typing import NamedTuple, TypeVar

from firmware.base.errors import GameError

MADE = "tables"
BY_NAME = ("DEVICES", "LATCHES", "FLIPPERS", "WHEELS", "WEAK", "SHOTS", "ROUTES", "OPTOS", "COILS")
KEYS = "KEYS"
VALUES = ("BALLS", "HOME", "SUPPLY")

Row = tuple[object, ...]
StepRow = tuple[object, ...]
"""A step as written: its verb, then its arguments."""

Steps = tuple[StepRow, ...]
AnyRow = TypeVar("AnyRow", bound=NamedTuple)


class DeviceRow(NamedTuple):
    """A device: switches of its slots from the exit up ("": none), its coil ("": none), its times in ms."""

    name: str
    switches: tuple[str, ...]
    coil: str
    least_pulse: int
    leaves_after: int
    roll: int
    passing: int
    way_out: str


class DropTargetRow(NamedTuple):
    """A drop target: its switch stays closed until its coil pulses for `least_pulse` ms or longer."""

    switch: str
    coil: str
    least_pulse: int
    opens_after: int


class BatRow(NamedTuple):
    """A row of FLIPPERS: the windings, the end-of-stroke switch, ms for the way up and down."""

    strong: str
    hold: str
    switch: str
    rises_in: int
    falls_in: int


class WheelRow(NamedTuple):
    """A wheel: its motor, its index switch, its first stop; `step`, `short` and `long` are ms."""

    motor: str
    switch: str
    stops: int
    starts_at: int
    step: int
    short: int
    long: int


class WeakCoilRow(NamedTuple):
    """How often a coil's pulse fails in a failing plant."""

    coil: str
    per_cent: int


class OptionRow(NamedTuple):
    """A number that a shot takes; `usual` unless given or drawn by weight."""

    name: str
    least: int
    most: int
    usual: int
    weights: tuple[int, ...]


class ShotRow(NamedTuple):
    """A whole shot: the place that its ball starts from, its options, its steps."""

    name: str
    start: str
    options: tuple[OptionRow, ...]
    help: str
    steps: Steps


class RouteRow(NamedTuple):
    """A part of shots, or the way of a ball that a coil kicks out."""

    name: str
    steps: Steps


class KeyRow(NamedTuple):
    """A key at the desk: `kind` is "switch", "latch" or "shot"; `name` is that of the switch or shot."""

    key: str
    kind: str
    name: str
    label: str


class KeyGroup(NamedTuple):
    """Keys under one heading."""

    heading: str
    keys: tuple[KeyRow, ...]


FUNCTION = slice(1, 3)  # kind and name of a KeyRow, or what a row that is too short has of them


def rows(module: ModuleType, name: str, make: type[AnyRow]) -> list[AnyRow]:
    """Each row of a table as a `make`; none when there is no such table.

    Raises GameError when a row has more or fewer entries than `make` has fields.
    """
    return _rows(name, getattr(module, name, ()), make, _file(module))


def shot_rows(module: ModuleType) -> list[ShotRow]:
    """Each row of SHOTS, its options as rows too. Raises GameError as `rows` does."""
    found = rows(module, "SHOTS", ShotRow)
    return [shot._replace(options=_options(shot, _file(module))) for shot in found]


def _options(shot: ShotRow, file: str) -> tuple[OptionRow, ...]:
    return tuple(_rows(f"shot '{shot.name}', options", shot.options, OptionRow, file))


def _rows(owner: str, table: Iterable[object], make: type[AnyRow], file: str) -> list[AnyRow]:
    found = []
    for number, row in enumerate(table, 1):
        needed = len(make._fields) - len(make._field_defaults)
        if not isinstance(row, tuple) or not needed <= len(row) <= len(make._fields):
            given = len(row) if isinstance(row, tuple) else "no"
            takes = ", ".join(make._fields[:needed])
            raise GameError(f"{owner}, row {number} has {given} entries; it takes {takes}", file)
        found.append(make(*row))
    return found


def row_name(row: Row) -> object:
    """What the row of any table is looked up by: its first entry."""
    name, *_ = row
    return name


def merge(made: ModuleType, own: ModuleType) -> ModuleType:
    """The made tables with those by hand put over them; messages about them name the file by hand.

    Raises GameError when a table by hand is none.
    """
    merged = ModuleType(own.__name__)
    merged.__file__ = own.__file__
    for name in (*BY_NAME, KEYS, *VALUES):
        values = [getattr(module, name) for module in (made, own) if hasattr(module, name)]
        if len(values) == 2 and name not in VALUES:
            _require_tuple(name, values[1], own)
            if name == KEYS:
                _require_groups(values[1], own)
            values.append(merge_keys(*values) if name == KEYS else merge_rows(*values))
        if values:
            setattr(merged, name, values[-1])
    return merged


def merge_rows(made: tuple[Row, ...], own: tuple[Row, ...]) -> tuple[Row, ...]:
    """Rows by their first entry: the same name replaces, a new one is added behind."""
    by_name = {row_name(row): row for row in own}
    known = {row_name(row) for row in made}
    added = (row for row in own if row_name(row) not in known)
    return (*(by_name.get(row_name(row), row) for row in made), *added)


def merge_keys(made: tuple[KeyGroup, ...], own: tuple[KeyGroup, ...]) -> tuple[KeyGroup, ...]:
    """Groups of keys: made keys whose key or function is used by hand are left out, and groups left empty."""
    by_hand = dict(own)
    taken = [row for keys in by_hand.values() for row in keys]
    names = {row_name(row) for row in taken}
    functions = {row[FUNCTION] for row in taken}
    groups = []
    for heading, keys in made:
        left = (row for row in keys if row_name(row) not in names and row[FUNCTION] not in functions)
        groups.append(KeyGroup(heading, (*left, *by_hand.pop(heading, ()))))
    return (*(group for group in groups if group.keys), *map(KeyGroup._make, by_hand.items()))


def _require_tuple(name: str, value: object, module: ModuleType) -> None:
    if not isinstance(value, tuple) or not all(isinstance(row, tuple) and row for row in value):
        raise GameError(f"{name} is a tuple of rows, each a tuple", _file(module))


def _require_groups(groups: tuple[Row, ...], module: ModuleType) -> None:
    for number, group in enumerate(groups, 1):
        keys = group[1] if len(group) == 2 else None
        if not isinstance(keys, tuple) or not all(isinstance(key, tuple) and key for key in keys):
            raise GameError(f"{KEYS}, row {number} is a heading and its keys, not {group!r}", _file(module))


def _file(module: ModuleType) -> str:
    return str(getattr(module, "__file__", None) or module.__name__)
