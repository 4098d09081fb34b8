"""Reads a machine file by its syntax tree: it is never run, so every complaint comes at once."""

import ast
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import GameError
from hil.machine.binding import MISSING, Made, bind
from hil.machine.complaints import Complaints, advice
from hil.machine.records import RECORDS, Supply

FILE = "machine.py"
MACHINE = "MACHINE"
SUPPLY = "SUPPLY"
OF_EVERY_KIND = {"opto": str, "shot": bool}


@dataclass(frozen=True)
class Line:
    """One line of MACHINE: its kind, its arguments by name, and what every kind takes.

    `opto`: the supply of the opto switches, "" for contacts; `shot` False: no shot of its own.
    """

    kind: str
    arguments: dict[str, object]
    number: int
    opto: str = ""
    shot: bool = True


@dataclass(frozen=True)
class MachineFile:
    """The file as read; lines that were complained about are left out."""

    lines: list[Line]
    supply: Supply | None
    complaints: Complaints


def read(path: Path, shown: str, kinds: Mapping[str, Made]) -> MachineFile:
    """Read the file. Raises GameError when it is missing or no Python at all."""
    try:
        tree = ast.parse(path.read_bytes())
    except OSError as error:
        raise GameError(str(error.strerror), shown) from None
    except SyntaxError as error:
        raise GameError(error.msg, f"{shown}:{error.lineno or 1}") from None
    return _Reader(Complaints(shown), kinds).read(tree)


class _Reader:
    """Evaluates plain values, names set above, and calls of records and kinds."""

    def __init__(self, complaints: Complaints, kinds: Mapping[str, Made]) -> None:
        self._complaints = complaints
        self._kinds = kinds
        self._names: dict[str, object] = {}
        self._lines: list[Line] = []

    def read(self, tree: ast.Module) -> MachineFile:
        for node in tree.body:
            self._statement(node)
        if MACHINE not in self._names:
            self._complaints.add(1, f"there is no {MACHINE} = (…), the tuple of the machine's lines")
        supply = self._names.get(SUPPLY)
        if SUPPLY in self._names and supply is not MISSING and not isinstance(supply, Supply):
            self._complaints.add(1, f"{SUPPLY} is {supply!r}; it takes Supply(volts, ohms=…)")
            supply = None
        return MachineFile(self._lines, supply if isinstance(supply, Supply) else None, self._complaints)

    def _statement(self, node: ast.stmt) -> None:
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            return  # the docstring
        if not isinstance(node, ast.Assign) or not all(isinstance(one, ast.Name) for one in node.targets):
            text = ast.unparse(node).splitlines()[0]
            self._complaints.add(
                node.lineno,
                f"'{text}' is no line of a machine file; it takes NAME = value and {MACHINE} = (…)",
            )
            return
        names = [one.id for one in node.targets if isinstance(one, ast.Name)]
        if MACHINE in names:
            self._machine(node.value)
        value = None if MACHINE in names else self._value(node.value)
        for name in names:
            if name in self._names:
                self._complaints.add(node.lineno, f"'{name}' is set twice")
            self._names[name] = value

    def _machine(self, node: ast.expr) -> None:
        if not isinstance(node, ast.Tuple):
            self._complaints.add(node.lineno, f"{MACHINE} is a tuple of lines such as targets(…)")
            return
        for element in node.elts:
            if isinstance(element, ast.Call) and isinstance(element.func, ast.Name):
                self._line(element, element.func.id)
            else:
                text = ast.unparse(element)
                self._complaints.add(
                    element.lineno, f"a line of {MACHINE} is a kind with its values, not {text}"
                )

    def _line(self, node: ast.Call, kind: str) -> None:
        given, named = self._arguments(node)
        if kind not in self._kinds:
            near = advice(kind, self._kinds)
            self._complaints.add(node.lineno, f"there is no kind of line '{kind}'{near}")
            return
        common = {
            name: self._common(name, named.pop(name), node.lineno) for name in OF_EVERY_KIND if name in named
        }
        arguments = bind(kind, self._kinds[kind], given, named, self._complaints, node.lineno)
        if arguments is not None and MISSING not in common.values():
            self._lines.append(
                Line(
                    kind,
                    arguments,
                    node.lineno,
                    str(common.get("opto", "")),
                    bool(common.get("shot", True)),
                )
            )

    def _common(self, name: str, value: object, line: int) -> object:
        wanted = OF_EVERY_KIND[name]
        if value is MISSING or (type(value) is wanted and value != ""):
            return value
        words = "its supply as a text, such as '12 V'" if wanted is str else "True or False"
        self._complaints.add(line, f"{name} is {value!r}; it takes {words}")
        return MISSING

    def _arguments(self, node: ast.Call) -> tuple[list[object], dict[str, object]]:
        given = [self._value(one) for one in node.args]
        named: dict[str, object] = {}
        for keyword in node.keywords:
            if keyword.arg is None:
                self._complaints.add(node.lineno, "** is not read here; write the values out")
            else:
                named[keyword.arg] = self._value(keyword.value)
        return given, named

    def _value(self, node: ast.expr) -> object:
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Tuple | ast.List):
            values = tuple(self._value(one) for one in node.elts)
            return MISSING if MISSING in values else values
        if isinstance(node, ast.Name):
            return self._named(node)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            return self._record(node, node.func.id)
        return self._literal(node)

    def _literal(self, node: ast.expr) -> object:
        try:
            return ast.literal_eval(node)
        except (ValueError, TypeError):
            text = ast.unparse(node)
            self._complaints.add(node.lineno, f"'{text}' is no plain value, and the file is read, not run")
            return MISSING

    def _named(self, node: ast.Name) -> object:
        if node.id not in self._names:
            near = advice(node.id, [name for name in self._names if name != MACHINE])
            self._complaints.add(node.lineno, f"there is no value '{node.id}' above this line{near}")
        return self._names.get(node.id, MISSING)

    def _record(self, node: ast.Call, name: str) -> object:
        given, named = self._arguments(node)
        if name not in RECORDS:
            self._complaints.add(node.lineno, f"there is no '{name}'{advice(name, RECORDS)}")
            return MISSING
        arguments = bind(name, RECORDS[name], given, named, self._complaints, node.lineno)
        return MISSING if arguments is None else RECORDS[name](**arguments)
