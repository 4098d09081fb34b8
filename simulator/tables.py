"""Reads the literal tables of a game's host modules into rows; a mistake in one is reported in a sentence."""

import dataclasses
from collections.abc import Iterable
from typing import TYPE_CHECKING, NoReturn, TypeVar

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Row = TypeVar("Row", bound="DataclassInstance")
Kind = TypeVar("Kind")


class Tables:
    """The tables of one module, or of any object with such attributes.

    Every method may raise GameError, which names the module's file.
    """

    def __init__(self, module: object) -> None:
        self._module = module
        self._file = str(getattr(module, "__file__", None) or getattr(module, "__name__", ""))

    def has(self, name: str) -> bool:
        """Whether the module has a table or value of this name."""
        return hasattr(self._module, name)

    def value(self, name: str, kind: type[Kind] | tuple[type[Kind], ...]) -> Kind:
        """The table or value of this name, which must be of `kind`."""
        if not self.has(name):
            self.refuse(f"there is no table {name}")
        value = getattr(self._module, name)
        if not isinstance(value, kind):
            kinds = kind if isinstance(kind, tuple) else (kind,)
            self.refuse(f"{name} is {value!r}; it must be {' or '.join(one.__name__ for one in kinds)}")
        return value

    def rows(self, name: str, make: type[Row]) -> list[Row]:
        """Each row of a table as a `make`, whose fields are the row's entries."""
        table = self.value(name, tuple)
        return [self.row(name, number, entries, make) for number, entries in enumerate(table, 1)]

    def row(self, owner: str, number: int, entries: object, make: type[Row]) -> Row:
        """One row as a `make`; `owner` and `number` are its table and its place there, for the message."""
        fields = [field.name for field in dataclasses.fields(make)]
        if not isinstance(entries, tuple) or len(entries) != len(fields):
            given = len(entries) if isinstance(entries, tuple) else "no"
            self.refuse(f"{owner}, row {number} has {given} entries; it takes {', '.join(fields)}")
        return make(*entries)

    def require(self, owner: str, name: object, allowed: Iterable[str]) -> None:
        """Refuse a name that is not among the allowed ones, with the near miss."""
        names = list(allowed)
        if name not in names:
            near = did_you_mean(name, names) if isinstance(name, str) else ""
            self.refuse(f"{owner} names '{name}', which is not there{near}")

    def refuse(self, text: str) -> NoReturn:
        """Raise GameError with the module's file."""
        raise GameError(text, self._file)
