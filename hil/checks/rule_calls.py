"""What rules give to the kit in their calls: bytes for the display, whole numbers for points."""

import ast
import inspect
from collections.abc import Iterator

from firmware.play.feature import Feature
from hil.checks.lines import tree_of
from hil.checks.source import Finding, Source

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
        for kind in (node for node in ast.walk(tree_of(path)) if isinstance(node, ast.ClassDef)):
            awards: dict[object, int] = {}
            for node in ast.walk(kind):
                name = _method(node)
                if name and isinstance(node, ast.Call):
                    where = source.at(path, node.lineno)
                    yield from (Finding(text, where) for text in _wrong(name, node))
                    if name == "award":
                        yield from _again(node, awards, where)


def _method(node: ast.AST) -> str:
    """The name of a method of Feature that is called on self; "" for anything else."""
    called = node.func if isinstance(node, ast.Call) else None
    if isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name) and called.value.id == "self":
        return called.attr if called.attr in METHODS else ""
    return ""


def _wrong(name: str, node: ast.Call) -> Iterator[str]:
    taken = list(inspect.signature(getattr(Feature, name)).parameters.values())[1:]
    by_name = {one.name: one for one in taken}
    given = [*zip(taken, node.args, strict=False), *_keywords(node, by_name)]
    for parameter, value in given:
        kind = KINDS.get(getattr(parameter.annotation, "__name__", ""))
        if kind and isinstance(value, ast.Constant):
            yield from _of_kind(f"self.{name}", parameter.name, kind, value.value)


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
