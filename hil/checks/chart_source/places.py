"""Finds the file and line of each row and state of a chart in the source text.

Rows written as a literal have a line each. Names, `Part.chart`, sums of tables and functions that return a
literal are followed into the file where they are written; rows without a line of their own share the line
of the expression that makes them.
"""

import ast
import inspect
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import NamedTuple, Protocol

NODES = ("State", "Parallel", "Final", "History")
DEEPEST = 8  # how many names are followed from one to the next


class ChartOwner(Protocol):
    """An object with a chart: a feature, mostly."""

    chart: tuple[tuple[object, ...], ...]


class Place(NamedTuple):
    """A line of a file."""

    path: Path
    line: int


@dataclass
class Places:
    """The lines of one chart: `rows` in order, `states` by declared name, `whole` the line of the table."""

    whole: Place
    rows: Sequence[Place] = ()
    states: dict[str, Place] = field(default_factory=dict)

    def row(self, index: int) -> Place:
        """The line of a row by its index (from 0); the table's line when its rows have none of their own."""
        return self.rows[index] if index < len(self.rows) else self.whole


class _Piece(NamedTuple):
    """The line of one row, or of an expression that makes `many` rows."""

    place: Place
    many: bool = False


Found = tuple[ast.expr, ModuleType]
"""An expression, and the module that contains it."""


def of_feature(feature: ChartOwner) -> Places:
    """The lines of a feature's `chart` and `states`, in whichever class they are written."""
    rows, whole = _pieces(feature, "chart"), _whole(feature)
    states: dict[str, Place] = {}
    written = _written(feature, "states")
    if written is not None:
        _declared(*written, states, DEEPEST)
    return Places(whole, _laid_out(rows, len(feature.chart), whole), states)


def of_table(module: ModuleType, name: str, states: str = "") -> Places:
    """The lines of the table `name` in a module, and of its tuple of states called `states`."""
    path = _file(module)
    found = _assigned(_parsed(path), name)
    whole = Place(path, found.lineno if found is not None else 1)
    pieces = _rows(found, module, DEEPEST) if found is not None else []
    places = Places(whole, _laid_out(pieces, len(getattr(module, name)), whole))
    declared = _assigned(_parsed(path), states) if states else None
    if declared is not None:
        _declared(declared, module, places.states, DEEPEST)
    return places


def _file(module: ModuleType) -> Path:
    """Where a module was read from; the present folder when it was made without a file."""
    return Path(module.__file__ or "")


def _parsed(path: Path) -> ast.Module:
    return _parsed_at(path, path.stat().st_mtime_ns)


@cache
def _parsed_at(path: Path, _changed_ns: int) -> ast.Module:
    return ast.parse(path.read_bytes())


def _laid_out(pieces: list[_Piece], count: int, whole: Place) -> list[Place]:
    """A line for each of `count` rows; all the same when text and table do not agree."""
    unknown = sum(piece.many for piece in pieces)
    missing = count - (len(pieces) - unknown)
    if unknown > 1 or missing < 0 or (missing and not unknown):
        return [whole] * count
    places: list[Place] = []
    for piece in pieces:
        places += [piece.place] * (missing if piece.many else 1)
    return places


# Classes


def _whole(feature: ChartOwner) -> Place:
    """The line of the table, or else of the class."""
    written = _written(feature, "chart")
    if written is not None:
        expression, module = written
        return Place(_file(module), expression.lineno)
    owner = type(feature)
    return Place(Path(inspect.getsourcefile(owner) or ""), inspect.getsourcelines(owner)[1])


def _pieces(feature: ChartOwner, name: str) -> list[_Piece]:
    written = _written(feature, name)
    return _rows(*written, DEEPEST) if written is not None else []


def _written(feature: ChartOwner, name: str) -> Found | None:
    """The expression behind an attribute, and its module: an object's own, else its class's."""
    if name not in vars(feature):
        return _inherited(type(feature), name)
    for owner in type(feature).__mro__:
        found = _in_class(owner, name, own=True)
        if found is not None:
            return found, sys.modules[owner.__module__]
    return None


def _inherited(owner: type, name: str) -> Found | None:
    for base in owner.__mro__:
        if name in vars(base):
            found = _in_class(base, name, own=False)
            return (found, sys.modules[base.__module__]) if found is not None else None
    return None


def _in_class(owner: type, name: str, own: bool) -> ast.expr | None:
    """What a class body assigns to `name`, or with `own` what one of its methods assigns to self.NAME."""
    module = sys.modules.get(owner.__module__)
    file = getattr(module, "__file__", None)
    if file is None:
        return None
    body: ast.AST = _parsed(Path(file))
    for part in owner.__qualname__.split("."):
        inside = [node for node in ast.walk(body) if isinstance(node, (ast.ClassDef, ast.FunctionDef))]
        body = next((node for node in inside if node.name == part), body)
    if not own:
        return _assigned(body, name)
    for node in ast.walk(body):
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == f"self.{name}":
            return node.value
    return None


def _assigned(body: ast.AST, name: str) -> ast.expr | None:
    """What a module or class body assigns to `name`, the last time."""
    found = None
    for node in getattr(body, "body", ()):
        targets = getattr(node, "targets", [getattr(node, "target", None)])
        if isinstance(node, (ast.Assign, ast.AnnAssign)) and any(
            getattr(t, "id", "") == name for t in targets
        ):
            found = node.value
    return found


# Expressions


def _rows(node: ast.expr, module: ModuleType, depth: int) -> list[_Piece]:
    """The rows that an expression of `module` makes."""
    here = _Piece(Place(_file(module), node.lineno), many=True)
    if isinstance(node, ast.Tuple):
        found: list[_Piece] = []
        for element in node.elts:
            if isinstance(element, ast.Starred):
                found += _rows(element.value, module, depth)
            else:
                found.append(_Piece(Place(here.place.path, element.lineno)))
        return found
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        return _rows(node.left, module, depth) + _rows(node.right, module, depth)
    followed = _followed(node, module) if depth else None
    return _rows(*followed, depth - 1) if followed is not None else [here]


def _followed(node: ast.expr, module: ModuleType) -> Found | None:
    """The expression that a name, `Class.attribute` or function call refers to, with its module."""
    if isinstance(node, ast.Name):
        return _named(node.id, module)
    if isinstance(node, ast.Attribute):
        owner = _value(node.value, module)
        if isinstance(owner, type):
            return _inherited(owner, node.attr)
        return _named(node.attr, owner) if inspect.ismodule(owner) else None
    if isinstance(node, ast.Call):
        return _returned(_value(node.func, module))
    return None


def _named(name: str, module: ModuleType) -> Found | None:
    """What a module assigns to a name, or the module it imports it from."""
    tree = _parsed(_file(module))
    found = _assigned(tree, name)
    if found is not None:
        return found, module
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            for alias in node.names:
                other = sys.modules.get(node.module or "")
                if (alias.asname or alias.name) == name and other is not None and other.__file__:
                    return _named(alias.name, other)
    return None


def _returned(function: object) -> Found | None:
    """What a function returns, when it has one `return`."""
    if not inspect.isfunction(function):
        return None
    module = sys.modules[function.__module__]
    first = function.__code__.co_firstlineno
    for node in ast.walk(_parsed(_file(module))):
        if isinstance(node, ast.FunctionDef) and node.name == function.__name__:
            top = min([node.lineno, *(d.lineno for d in node.decorator_list)])
            returns = [inner for inner in ast.walk(node) if isinstance(inner, ast.Return)]
            if top == first and len(returns) == 1 and returns[0].value is not None:
                return returns[0].value, module
    return None


def _value(node: ast.expr, module: ModuleType) -> object:
    """What a name, or a name's attribute, is in a module that was imported."""
    if isinstance(node, ast.Name):
        return getattr(module, node.id, None)
    if isinstance(node, ast.Attribute):
        return getattr(_value(node.value, module), node.attr, None)
    return None


def _declared(node: ast.expr, module: ModuleType, states: dict[str, Place], depth: int) -> None:
    """Every state that an expression declares, and its line."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Call) and getattr(inner.func, "id", "") in NODES:
            named = [inner.args[0]] if inner.args else [k.value for k in inner.keywords if k.arg == "name"]
            if named and isinstance(named[0], ast.Constant):
                states.setdefault(str(named[0].value), Place(_file(module), inner.lineno))
        elif depth and isinstance(inner, (ast.Name, ast.Attribute, ast.Call)):
            followed = _followed(inner, module)
            if followed is not None:
                _declared(*followed, states, depth - 1)
