"""Compares the tables that a machine file gives with those that are there."""

from collections.abc import Iterator, Sequence
from dataclasses import fields
from types import ModuleType

from hil.host_tables import KeyGroup, Row, merge_keys, merge_rows, row_name
from hil.machine.tables import HostTables, WiringTables

UNORDERED = ("LATCHES", "WEAK", "SHOTS", "ROUTES")
"""Tables whose rows are looked up by name alone."""

OF_ROUTES = ("DEVICES", "LATCHES", "FLIPPERS", "WHEELS", "WEAK", "SHOTS", "ROUTES")
ZERO = ("SUPPLY_MA", "COIL_VOLTS_LOW_MV", "PLAYERS")  # where they are not set; a table is empty then


def wiring_differences(made: WiringTables, present: object) -> list[str]:
    """A sentence for each table of the wiring that is not the same, rows in their order."""
    found = []
    for field in fields(made):
        was = getattr(present, field.name, 0 if field.name in ZERO else ())
        now = getattr(made, field.name)
        if _plain(was) != _plain(now):
            found.append(f"{field.name}: {_first_difference(was, now)}")
    return found


def _plain(value: object) -> object:
    return tuple(_plain(one) for one in value) if isinstance(value, tuple) else value


def _first_difference(was: object, now: object) -> str:
    if isinstance(was, tuple) and isinstance(now, tuple):
        for number, (one, other) in enumerate(zip(was, now, strict=False), 1):
            if _plain(one) != _plain(other):
                return f"row {number} is {_plain(one)}, the machine file gives {_plain(other)}"
        return f"{len(was)} rows, the machine file gives {len(now)}"
    return f"is {was!r}, the machine file gives {now!r}"


def irregular_rows(name: str, made: HostTables, present: Sequence[Row]) -> list[tuple[object, ...]]:
    """Rows of a host table that the machine file does not give, or gives otherwise."""
    given = {row_name(row): _plain(row) for row in getattr(made, name)}
    return [row for row in present if given.get(row_name(row)) != _plain(row)]


def irregular_keys(made: tuple[KeyGroup, ...], present: tuple[KeyGroup, ...]) -> tuple[KeyGroup, ...]:
    """Groups of keys that have to stay by hand, so that all keys are as they were."""
    given = dict(made)
    return tuple(KeyGroup(heading, keys) for heading, keys in present if given.get(heading) != keys)


def host_differences(made: HostTables, routes: ModuleType, keys: tuple[KeyGroup, ...] | None) -> list[str]:
    """A sentence for each host table that differs when what is irregular is put over the made ones."""
    found = []
    for name in OF_ROUTES:
        present = getattr(routes, name, ())
        merged = merge_rows(getattr(made, name), tuple(irregular_rows(name, made, present)))
        if name == "ROUTES":
            merged = _taken(merged, present, routes)
        if not same_rows(name, merged, present):
            found.append(f"{name}: {_first_difference(_sorted(present), _sorted(merged))}")
    for name in ("BALLS", "HOME"):
        if getattr(routes, name) != getattr(made, name):
            found.append(
                f"{name}: is {getattr(routes, name)!r}, the machine file gives {getattr(made, name)!r}"
            )
    if keys is not None:
        merged_keys = merge_keys(made.KEYS, irregular_keys(made.KEYS, keys))
        if merged_keys != keys:
            found.append(f"KEYS: {_first_difference(keys, merged_keys)}")
    return found


def _taken(merged: Sequence[Row], present: Sequence[Row], routes: ModuleType) -> tuple[Row, ...]:
    """The routes without those made ones that no ball takes, since a shot by hand goes another way."""
    there = {row_name(row) for row in present}
    words = set(_words((routes.SHOTS, present, routes.DEVICES)))
    return tuple(row for row in merged if row_name(row) in there or row_name(row) in words)


def _words(value: object) -> Iterator[str]:
    if isinstance(value, tuple):
        for one in value:
            yield from _words(one)
    elif isinstance(value, str):
        yield value


def same_rows(name: str, one: Sequence[Row], other: Sequence[Row]) -> bool:
    """Whether two tables are the same; the order counts where ids or places follow from it."""
    if name in UNORDERED:
        return _sorted(one) == _sorted(other)
    return _plain(tuple(one)) == _plain(tuple(other))


def _sorted(rows: Sequence[Row]) -> tuple[object, ...]:
    return tuple(_plain(row) for row in sorted(rows, key=lambda row: str(row_name(row))))
