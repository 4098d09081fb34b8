"""The tables of a game that only a host reads: made from its machine file, what is irregular put over them.

`host/tables.py` is made; `host/routes.py`, `host/keys.py` and `host/coils.py` are written by hand. A row
by hand takes the place of the made row of the same name, another is added behind; so does a value by hand.
"""

from types import ModuleType

from firmware.base.errors import GameError

MADE = "tables"
BY_NAME = ("DEVICES", "LATCHES", "FLIPPERS", "WHEELS", "WEAK", "SHOTS", "ROUTES", "OPTOS", "COILS")
KEYS = "KEYS"
VALUES = ("BALLS", "HOME", "SUPPLY")

Row = tuple[object, ...]
KeyRow = tuple[str, str, str, str]
KeyGroup = tuple[str, tuple[KeyRow, ...]]


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
            values.append(merge_keys(*values) if name == KEYS else merge_rows(*values))
        if values:
            setattr(merged, name, values[-1])
    return merged


def merge_rows(made: tuple[Row, ...], own: tuple[Row, ...]) -> tuple[Row, ...]:
    """Rows by their first entry: the same name replaces, a new one is added behind."""
    by_name = {row[0]: row for row in own}
    known = {row[0] for row in made}
    return (*(by_name.get(row[0], row) for row in made), *(row for row in own if row[0] not in known))


def merge_keys(made: tuple[KeyGroup, ...], own: tuple[KeyGroup, ...]) -> tuple[KeyGroup, ...]:
    """Groups of keys: made keys whose key or function is used by hand are left out, and groups left empty."""
    keys = {row[0] for _heading, rows in own for row in rows}
    functions = {row[1:3] for _heading, rows in own for row in rows}
    left = [
        (heading, tuple(row for row in rows if row[0] not in keys and row[1:3] not in functions))
        for heading, rows in made
    ]
    by_hand = dict(own)
    groups = [(heading, (*rows, *by_hand.pop(heading, ()))) for heading, rows in left]
    return (*(group for group in groups if group[1]), *by_hand.items())


def _require_tuple(name: str, value: object, module: ModuleType) -> None:
    if not isinstance(value, tuple) or not all(isinstance(row, tuple) and row for row in value):
        raise GameError(f"{name} is a tuple of rows, each a tuple", str(module.__file__))
