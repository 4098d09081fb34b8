"""Literal tables of a game's host modules, read into rows; what is wrong is told in one sentence."""

import dataclasses
from collections.abc import Iterable
from typing import Any, NoReturn, TypeVar

from firmware.base.errors import GameError
from firmware.charts.near import meant

Row = TypeVar("Row")


class Tables:
    """The tables of one module. Everything here may raise GameError with the module's file."""

    def __init__(self, module: Any) -> None:
        self._module = module
        self._file = str(getattr(module, "__file__", None) or module.__name__)

    def value(self, name: str) -> Any:
        """The table or value called so."""
        if not hasattr(self._module, name):
            self.refuse(f"there is no table {name}")
        return getattr(self._module, name)

    def rows(self, name: str, make: type[Row]) -> list[Row]:
        """Each row of a table as a `make`, whose fields are the row's entries."""
        return [self.row(name, number, entries, make) for number, entries in enumerate(self.value(name), 1)]

    def row(self, owner: str, number: int, entries: Any, make: type[Row]) -> Row:
        """One row; `owner` and `number` say where it stands."""
        fields = [field.name for field in dataclasses.fields(make)]  # type: ignore[arg-type]
        if not isinstance(entries, tuple) or len(entries) != len(fields):
            given = len(entries) if isinstance(entries, tuple) else "no"
            self.refuse(f"{owner}, row {number} has {given} entries; it takes {', '.join(fields)}")
        return make(*entries)

    def known(self, owner: str, name: Any, allowed: Iterable[str]) -> None:
        """Refuse a name that is not among the allowed ones, with the near miss."""
        names = list(allowed)
        if name not in names:
            near = meant(name, names) if isinstance(name, str) else ""
            self.refuse(f"{owner} names '{name}', which is not there{near}")

    def refuse(self, text: str) -> NoReturn:
        """Raise GameError with the module's file."""
        raise GameError(text, self._file)
