"""A game's host/coils.py, read as rows with named fields: its coil supply and its windings."""

from types import ModuleType
from typing import NamedTuple, cast

from firmware.base.errors import GameError
from hil.electrical.sums.drive import Feed
from hil.games import Game

FILE = "host/coils.py"
SUPPLY_WORDS = (("smoothed", "unsmoothed"), ("guarded", "not guarded"), ("isolated", "insulation unknown"))


class WindingRow(NamedTuple):
    """One row of COILS: a winding, its fuse, and how often it is pulsed.

    `ohms` at 20 °C; `millihenries`, AWG `gauge`, `fuse` ("1 slow"): 0 or "" when not known; `zener_volts`
    0: the clamp is a diode; `period_s` from pulse to pulse.
    """

    coil: str
    ohms: float
    millihenries: float
    gauge: int
    insulation: str
    zener_volts: float
    fuse: str
    period_s: float


NUMBER: tuple[type, ...] = (int, float)
TEXT: tuple[type, ...] = (str,)
WHOLE: tuple[type, ...] = (int,)
KINDS = (TEXT, NUMBER, NUMBER, WHOLE, TEXT, NUMBER, TEXT, NUMBER)  # of WindingRow


def feed_of(game: Game) -> Feed:
    """The coil supply. Raises GameError, also without a host/coils.py; UsageError for impossible values."""
    row = _table(game, "SUPPLY")
    if len(row) != 2 + len(SUPPLY_WORDS):
        raise GameError(f"the supply has {len(row)} fields; it takes {2 + len(SUPPLY_WORDS)}")
    volts, source, *words = row
    for word, allowed in zip(words, SUPPLY_WORDS, strict=True):
        if word not in allowed:
            raise GameError(f"the supply is given as '{word}'; it takes '{allowed[0]}' or '{allowed[1]}'")
    return Feed(
        _number(volts, "volts"),
        _number(source, "ohms"),
        *(word == allowed[0] for word, allowed in zip(words, SUPPLY_WORDS, strict=True)),
    )


def winding_rows(game: Game) -> list[WindingRow]:
    """The windings, in the order of the table. Raises GameError, also without a host/coils.py."""
    return [_winding(row) for row in _table(game, "COILS")]


def _table(game: Game, name: str) -> tuple[object, ...]:
    tables: ModuleType = game.host("coils")
    found = getattr(tables, name, None)
    if not isinstance(found, tuple):
        raise GameError(f"{FILE} needs {name}, a tuple, not {found!r}")
    return found


def _number(value: object, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise GameError(f"the supply has the {what} {value!r}, which is no number")
    return value


def _winding(row: object) -> WindingRow:
    if not isinstance(row, tuple) or not row:
        raise GameError(f"a row of COILS is a tuple that begins with a name, not {row!r}")
    name, *_ = row
    fields = WindingRow._fields
    if len(row) != len(fields):
        raise GameError(f"coil '{name}' has {len(row)} fields; it takes {len(fields)}")
    for field, kind, value in zip(fields, KINDS, row, strict=True):
        if not isinstance(value, kind) or isinstance(value, bool):
            wanted = "a text" if kind is TEXT else "a whole number" if kind is WHOLE else "a number"
            raise GameError(f"coil '{name}' has {value!r} for {field}; it takes {wanted}")
    return WindingRow(*cast(tuple[str, float, float, int, str, float, str, float], row))
