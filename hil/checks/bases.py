"""Classes with several bases: MicroPython looks attributes up, and calls super(), in another order.

Python lines all bases up and takes each once, the common ones last. MicroPython searches base by base, each
to its root, and `super()` in a class goes on to that class's own bases, never to a sister.
"""

import ast
import inspect
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from hil.checks.build import Built
from hil.checks.source import Finding

MENDS = "let the class have one base, and the other as an attribute"
UNSEARCHED = frozenset(
    ("__module__", "__doc__", "__dict__", "__weakref__", "__annotations__", "__qualname__", "__slots__")
)


def several_bases(built: Built) -> Iterator[Finding]:
    """What the two would take from different classes."""
    for kind in _classes(built):
        place = Path(inspect.getsourcefile(kind) or "")
        node = _node(place, kind.__qualname__)
        for words in _differences(kind):
            text = f"class {kind.__name__}: MicroPython {words}; {MENDS}"
            yield Finding(text, built.source.at(place, node.lineno if node else 1))


def _classes(built: Built) -> list[type]:
    """The game's own classes that have, or inherit, several bases."""
    found = {
        kind
        for name, module in sorted(sys.modules.items())
        if name == built.game.package or name.startswith(built.game.package + ".")
        for kind in vars(module).values()
        if isinstance(kind, type) and kind.__module__ == name
    }
    several = [kind for kind in found if any(len(each.__bases__) > 1 for each in kind.__mro__)]
    return sorted(several, key=lambda kind: (kind.__module__, kind.__qualname__))


def _differences(kind: type) -> Iterator[str]:
    names = {name for each in kind.__mro__ if each is not object for name in vars(each)} - UNSEARCHED
    for name in sorted(names):
        mine, theirs = _holder(kind.__mro__, name), _holder(_searched(kind), name)
        if mine is not theirs:
            yield f"takes '{name}' of {_name(theirs)}, Python that of {_name(mine)}"
    for at, base in enumerate(kind.__mro__[1:], 1):
        for name in sorted(_goes_on(base)):
            mine = _holder(kind.__mro__[at + 1 :], name)
            theirs = _holder(_searched(base)[1:], name)
            if mine is not theirs:
                words = f"goes on to that of {_name(theirs)}, Python to that of {_name(mine)}"
                yield f"by super().{name} in {base.__name__} {words}"


def _searched(kind: type) -> list[type]:
    """The classes in the order in which MicroPython looks through them."""
    return [kind, *(each for base in kind.__bases__ for each in _searched(base))]


def _holder(kinds: "tuple[type, ...] | list[type]", name: str) -> type | None:
    return next((kind for kind in kinds if name in vars(kind)), None)


def _name(kind: type | None) -> str:
    return kind.__name__ if kind else "nobody"


def _goes_on(kind: type) -> set[str]:
    """The methods that a class asks for by super()."""
    try:
        node = _node(Path(inspect.getsourcefile(kind) or ""), kind.__qualname__)
    except TypeError:
        return set()  # one of Python's own classes
    found: set[str] = set()
    for each in ast.walk(node) if node else ():
        if isinstance(each, ast.Attribute) and isinstance(each.value, ast.Call):
            called = each.value.func
            if isinstance(called, ast.Name) and called.id == "super":
                found.add(each.attr)
    return found


@cache
def _tree(path: Path, _changed: float) -> ast.Module:
    return ast.parse(path.read_bytes())


def _node(path: Path, qualified: str) -> ast.ClassDef | None:
    """Where a class is written."""
    name = qualified.rpartition(".")[2]
    for node in ast.walk(_tree(path, path.stat().st_mtime)):
        if isinstance(node, ast.ClassDef) and node.name == name:
            return node
    return None
