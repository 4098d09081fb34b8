"""Which object an expression is, where the images and the live code leave no doubt."""

import ast
from types import FunctionType, MethodType
from typing import Any

from hil.bundle.guess import Facts, Guess
from hil.bundle.image import key_of
from hil.bundle.modules import Hub, Symbol

UNKNOWN: Any = object()
DEEP = 9


class Exact:
    """The objects behind the expressions of one function.

    `own` is what `self` is, UNKNOWN where the class has several instances or the board makes some.
    """

    def __init__(self, facts: Facts, guess: Guess, own: Any) -> None:
        self._facts = facts
        self._guess = guess
        self.own = own
        self.values: dict[str, ast.expr] = {}  # of parameters, in a method that is put in place of a call

    def of(self, node: ast.expr, depth: int = 0) -> Any:
        """The object that an expression is, or UNKNOWN."""
        if depth > DEEP:
            return UNKNOWN
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Name):
            meant = getattr(node, "meant", None)
            if meant is not None:
                return meant.thing if isinstance(meant, Hub) else UNKNOWN
            if self._guess.is_self(node.id):
                return self.own
            if isinstance(self.values.get(node.id), ast.Constant):
                return self.of(self.values[node.id], depth + 1)
            known = self._guess.known(node.id)
            return self.of(known, depth + 1) if known is not None else UNKNOWN
        if isinstance(node, ast.Attribute):
            return self._attribute(node, depth)
        if isinstance(node, ast.Subscript):
            return self._piece(node, depth)
        return UNKNOWN

    def _attribute(self, node: ast.Attribute, depth: int) -> Any:
        thing = self.of(node.value, depth + 1)
        if thing is not UNKNOWN:
            return self._of_instance(thing, node.attr)
        kind = self._guess.of(node.value)
        if kind is None or not kind.classes:
            return UNKNOWN
        values = []
        for symbol in kind.classes:
            if symbol in self._facts.made:
                return UNKNOWN
            for each in self._facts.oracle.instances.get(symbol, ()):
                values.append(self._of_instance(each, node.attr))
        first = values[0] if values else UNKNOWN
        return first if all(_same(first, each) for each in values) else UNKNOWN

    def _of_instance(self, thing: Any, name: str) -> Any:
        symbol = class_of(thing)
        if symbol not in self._facts.oracle.classes or self._facts.is_stored(symbol, name):
            return UNKNOWN
        if name in vars(thing):
            return vars(thing)[name]
        found = getattr(type(thing), name, UNKNOWN)
        return found if found is None or isinstance(found, int) else UNKNOWN

    def _piece(self, node: ast.Subscript, depth: int) -> Any:
        holder = self.of(node.value, depth + 1)
        index = self.of(node.slice, depth + 1)
        if not isinstance(holder, (tuple, list, range, dict)) or key_of(holder) in self._facts.changing:
            return UNKNOWN
        try:
            return holder[index]
        except (LookupError, TypeError):
            return UNKNOWN


def class_of(thing: Any) -> Symbol:
    """The class of an object."""
    return Symbol(type(thing).__module__, type(thing).__qualname__)


def is_plain(thing: Any) -> bool:
    """Whether it can stand in code as it is."""
    return thing is None or (isinstance(thing, int) and -(2**30) <= thing < 2**30)


def is_something(thing: Any) -> bool:
    """Whether it is surely not None and not a plain constant."""
    return thing is not UNKNOWN and not is_plain(thing) and not isinstance(thing, (FunctionType, MethodType))


def _same(a: Any, b: Any) -> bool:
    if a is UNKNOWN or b is UNKNOWN:
        return False
    return a is b or (is_plain(a) and is_plain(b) and type(a) is type(b) and a == b)
