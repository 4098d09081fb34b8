"""A game folder as text: its wiring rows and names with their lines, before any import."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar, cast

from firmware.base.errors import GameError
from firmware.play import interfaces
from hil.game_tables import CoilRow, FlipperRow, LampRow, ReflexRow, SwitchRow

TABLES = ("SWITCHES", "LAMPS", "COILS", "REFLEXES", "FLIPPERS")
OPTIONAL = ("DISPLAYS", "CHIMES")  # tables that a game may leave out
NUMBERS = ("BALLS",)
LISTS = ("TROUGH",)

Row = TypeVar("Row", covariant=True)


@dataclass(frozen=True)
class Finding:
    """One problem in one sentence; a `fatal` one makes the game unusable.

    One of `power` is about energising the coils alone: fatal, no coil of the game may be energised; else one
    coil stays off. The game plays at the desk all the same.
    """

    text: str
    where: str
    fatal: bool = True
    power: bool = False

    def __str__(self) -> str:
        kind = "" if self.fatal else "warning: " if self.power else "note: "
        return f"{self.where}: {kind}{self.text}"


@dataclass(frozen=True)
class WiringRow:
    """One row of a wiring table as it is written: its values and "file:line"."""

    values: tuple[object, ...]
    where: str

    @property
    def name(self) -> str:
        """The first entry of the row: the part's name."""
        return str(self.values[0])


class Located(NamedTuple, Generic[Row]):
    """A row with named fields, and its "file:line"."""

    row: Row
    where: str


@dataclass
class Source:
    """A game folder: `rows` of each wiring table, `values` of the other names such as TROUGH.

    `shown` is the folder as messages name it; `lines` has the line of each name in wiring.py. The methods
    from `switches` to `trough` may be called once hil.checks.wiring has found no value of a wrong type.
    """

    folder: Path
    shown: str
    rows: dict[str, list[WiringRow]] = field(default_factory=dict)
    values: dict[str, object] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)

    def names(self, table: str) -> tuple[str, ...]:
        """The names of one wiring table, in order."""
        return tuple(row.name for row in self.rows.get(table, []))

    def switches(self) -> list[Located[SwitchRow]]:
        """The rows of SWITCHES."""
        rows = self.rows["SWITCHES"]
        return [Located(SwitchRow(*cast(interfaces.SwitchRow, row.values)), row.where) for row in rows]

    def lamps(self) -> list[Located[LampRow]]:
        """The rows of LAMPS."""
        rows = self.rows["LAMPS"]
        return [Located(LampRow(*cast(interfaces.LampRow, row.values)), row.where) for row in rows]

    def coils(self) -> list[Located[CoilRow]]:
        """The rows of COILS."""
        rows = self.rows["COILS"]
        return [Located(CoilRow(*cast(interfaces.CoilRow, row.values)), row.where) for row in rows]

    def reflexes(self) -> list[Located[ReflexRow]]:
        """The rows of REFLEXES."""
        rows = self.rows["REFLEXES"]
        return [Located(ReflexRow(*cast(interfaces.ReflexRow, row.values)), row.where) for row in rows]

    def flippers(self) -> list[Located[FlipperRow]]:
        """The rows of FLIPPERS."""
        rows = self.rows["FLIPPERS"]
        return [Located(FlipperRow(*cast(interfaces.FlipperRow, row.values)), row.where) for row in rows]

    def trough(self) -> tuple[str, ...]:
        """The switches of TROUGH."""
        return cast("tuple[str, ...]", self.values["TROUGH"])

    def at(self, path: Path, line: int) -> str:
        """ "file:line" as messages show it."""
        return f"{self.shown}/{path.relative_to(self.folder).as_posix()}:{line}"

    def files(self) -> list[Path]:
        """The game's own sources that run on a board: features first, wiring last."""
        found = [
            path for path in self.folder.rglob("*.py") if "host" not in path.relative_to(self.folder).parts
        ]
        return sorted(found, key=lambda path: (path.name == "wiring.py", "features" not in path.parts, path))

    def mentions(self, name: str) -> Iterator[tuple[Path, int]]:
        """Where `name` is written as a string in the game's own sources: (file, line) of each."""
        yield from self._texts.get(name, ())

    @cached_property
    def _texts(self) -> dict[str, list[tuple[Path, int]]]:
        """Every text in the files, with the places where it is written."""
        found: dict[str, list[tuple[Path, int]]] = {}
        for path in self.files():
            try:
                tree = ast.parse(path.read_bytes())
            except SyntaxError:
                continue  # reported when the game is imported
            for node in ast.walk(tree):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    found.setdefault(node.value, []).append((path, node.lineno))
        return found


def read(folder: Path, shown: str) -> Source:
    """Parse the folder's wiring.py. Raises GameError when it is missing or no plain table."""
    source = Source(folder, shown)
    path = folder / "wiring.py"
    if not path.is_file():
        raise GameError("a game folder needs a wiring.py", f"{shown}/wiring.py")
    try:
        tree = ast.parse(path.read_bytes())
    except SyntaxError as error:
        raise GameError(f"{error.msg}", source.at(path, error.lineno or 1)) from None
    for node in tree.body:
        if isinstance(node, ast.Assign) and len(node.targets) == 1 and isinstance(node.targets[0], ast.Name):
            _take(source, path, node.targets[0].id, node.value)
    for name in (*TABLES, *NUMBERS, *LISTS):
        if name not in source.lines:
            raise GameError(f"wiring.py has no {name}", source.at(path, 1))
    return source


def _take(source: Source, path: Path, name: str, value: ast.expr) -> None:
    source.lines[name] = value.lineno
    if name in TABLES or name in OPTIONAL:
        if not isinstance(value, ast.Tuple):
            raise GameError(f"{name} must be a tuple of rows", source.at(path, value.lineno))
        source.rows[name] = [_row(source, path, name, element) for element in value.elts]
    elif name in NUMBERS or name in LISTS:
        source.values[name] = _literal(source, path, name, value)


def _row(source: Source, path: Path, table: str, element: ast.expr) -> WiringRow:
    values = _literal(source, path, table, element)
    where = source.at(path, element.lineno)
    if not isinstance(values, tuple) or not values or not isinstance(values[0], str):
        raise GameError(f"a row of {table} is a tuple that begins with a name, not {values!r}", where)
    return WiringRow(values, where)


def _literal(source: Source, path: Path, name: str, value: ast.expr) -> object:
    try:
        found: object = ast.literal_eval(value)
        return found
    except (ValueError, TypeError):
        text = ast.unparse(value)
        raise GameError(
            f"{name} holds plain values only, not {text}", source.at(path, value.lineno)
        ) from None
