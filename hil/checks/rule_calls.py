"""What rules give to the kit in their calls: bytes for the display, points in tens, spans, tuples."""

import ast
import inspect
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from firmware.charts.suggest import did_you_mean
from firmware.play.feature import Feature
from hil.checks.lines import tree_of
from hil.checks.source import Finding, Source

KIT = ("firmware.parts.", "firmware.cabinet.")
SPANS = ("span", "counted")
NAMES = ("BALL", "PLAYER", "GAME", "PERSISTENT")
POINTS = ("points", "pays", "instead")
CELLS = 16  # of a line of the display
METHODS = ("award", "value", "lamp", "coil", "optional_coil", "cue", "offer", "news", "event")
KINDS: dict[str, tuple[type, str]] = {
    "int": (int, "a whole number"),
    "str": (str, "a text"),
    "bytes": (bytes, "bytes"),
    "bool": (bool, "True or False"),
}


def rule_calls(source: Source) -> Iterator[Finding]:
    """Constants of the wrong kind in calls such as self.award("made", 500)."""
    for path in source.files():
        parts = _parts(tree_of(path))
        for kind in (node for node in ast.walk(tree_of(path)) if isinstance(node, ast.ClassDef)):
            awards: dict[object, int] = {}
            for node in ast.walk(kind):
                if isinstance(node, ast.Call):
                    where = source.at(path, node.lineno)
                    called = _taken(node, parts)
                    yield from (Finding(text, where) for text in _wrong(*called, node) if called[0])
                    if _method(node) == "award":
                        yield from _again(node, awards, where)
            yield from _no_base(source, path, kind)


def _method(node: ast.AST) -> str:
    """The name of a method of Feature that is called on self; "" for anything else."""
    called = node.func if isinstance(node, ast.Call) else None
    if isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name) and called.value.id == "self":
        return called.attr if called.attr in METHODS else ""
    return ""


def _parts(tree: ast.Module) -> dict[str, type]:
    """The classes of the kit that a module imports, by the names it has for them."""
    found = {}
    for node in tree.body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(KIT):
            module = import_module(str(node.module)) if find_spec(str(node.module)) else None
            for one in node.names:
                cls = getattr(module, one.name, None)
                if isinstance(cls, type):
                    found[one.asname or one.name] = cls
    return found


def _taken(node: ast.Call, parts: dict[str, type]) -> tuple[str, list[inspect.Parameter]]:
    """What a call is of, and the arguments that it takes; "" when it is of nothing that is known here."""
    method = _method(node)
    if method:
        return f"self.{method}", _parameters(getattr(Feature, method))[1:]
    name = node.func.id if isinstance(node.func, ast.Name) else ""
    return (name, _parameters(parts[name])) if name in parts else ("", [])


def _parameters(called: object) -> list[inspect.Parameter]:
    return list(inspect.signature(called).parameters.values()) if callable(called) else []


def _wrong(who: str, taken: list[inspect.Parameter], node: ast.Call) -> Iterator[str]:
    by_name = {one.name: one for one in taken}
    given = [*zip(taken, node.args, strict=False), *_keywords(node, by_name)]
    for parameter, value in given:
        annotation = str(getattr(parameter.annotation, "__name__", parameter.annotation))
        yield from _argument(who, parameter.name, annotation, value)


def _argument(who: str, what: str, annotation: str, value: ast.expr) -> Iterator[str]:
    if what in SPANS:
        yield from _span(who, what, value)
    elif annotation in KINDS and isinstance(value, ast.Constant):
        yield from _of_kind(who, what, KINDS[annotation], value.value)
    elif annotation == "bytes" and isinstance(value, ast.JoinedStr):
        yield f'{who} takes bytes for {what}, not an f-string; a number goes in by %: b"TURN %d" % number'
    elif annotation.startswith("tuple[") and isinstance(value, ast.Constant):
        given = value.value
        yield f"{who} takes a tuple for {what}, not {given!r}; one alone has a comma: ({given!r},)"
    if what in POINTS:
        for one in value.elts if isinstance(value, ast.Tuple) else [value]:
            problem = points_problem(one.value) if isinstance(one, ast.Constant) else _negative(one)
            yield from [f"{who} {problem}"] if problem else []


def _negative(value: ast.expr) -> str:
    is_minus = isinstance(value, ast.UnaryOp) and isinstance(value.op, ast.USub)
    return f"takes points from 0 up, not {ast.unparse(value)}" if is_minus else ""


def points_problem(value: object) -> str:
    """Why a constant is no number of points; "" when it is one, or when its kind is told elsewhere."""
    if type(value) is not int:
        return f"takes a whole number of points, not {value!r}"
    if value < 0:
        return f"takes points from 0 up, not {value:,}"
    return f"takes points in tens, not {value:,}: every score ends in 0" if value % 10 else ""


def _span(who: str, what: str, value: ast.expr) -> Iterator[str]:
    """A span is one of the four names, or its number."""
    if isinstance(value, ast.Constant) and not (
        type(value.value) is int and value.value in range(len(NAMES))
    ):
        near = did_you_mean(value.value.upper(), list(NAMES)) if isinstance(value.value, str) else ""
        exact = str(value.value).upper()
        near = f"; write {exact}, without quotes" if exact in NAMES else near
        yield f"{who} takes {', '.join(NAMES)} (firmware.play.memory) for {what}, not {value.value!r}{near}"


def _no_base(source: Source, path: Path, kind: ast.ClassDef) -> Iterator[Finding]:
    """A rule's own __init__ has its base's done first."""
    for node in kind.body:
        is_rules = isinstance(node, ast.FunctionDef) and node.name == "__init__" and len(node.args.args) == 2
        if not (is_rules and kind.bases) or not isinstance(node, ast.FunctionDef):
            continue
        given = node.args.args[1].arg
        if given == "play" and "__init__(" not in "".join(map(ast.unparse, node.body)):
            text = f"{kind.name}.__init__ begins with super().__init__(play), which is missing"
            yield Finding(text, source.at(path, node.lineno))


def _keywords(
    node: ast.Call, by_name: dict[str, inspect.Parameter]
) -> Iterator[tuple[inspect.Parameter, ast.expr]]:
    for word in node.keywords:
        if word.arg in by_name:
            yield by_name[word.arg], word.value


def _of_kind(who: str, what: str, kind: tuple[type, str], value: object) -> Iterator[str]:
    wanted, words = kind
    if isinstance(value, str) and wanted is bytes:
        yield f'{who} takes {words} for {what}, not a text: b"{value}"'
    elif type(value) is not wanted:
        yield f"{who} takes {words} for {what}, not {value!r}"
    elif isinstance(value, bytes) and len(value) > CELLS:
        yield f"{who} shows {CELLS} characters at most; {value!r} has {len(value)}"


def _again(node: ast.Call, awards: dict[object, int], where: str) -> Iterator[Finding]:
    first = node.args[0] if node.args else None
    if isinstance(first, ast.Constant):
        if first.value in awards:
            text = f"award {first.value!r} is declared twice (first in line {awards[first.value]})"
            yield Finding(text, where)
        awards.setdefault(first.value, node.lineno)
