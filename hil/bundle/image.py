"""Writes objects down as an image; firmware/base/image.py puts them together again."""

from array import array
from dataclasses import dataclass, field
from types import FunctionType, MethodType
from typing import Any

from firmware.base.errors import GameError
from hil.bundle.modules import Symbol

LONG = 8  # from here on an array is smaller than a tuple
PLAIN = (None, False, True)
KINDS = ("list", "dict", "zeros", "bytearray", "array", "bytes", "str", "hash", "method", "tuple")

Shape = tuple[Symbol, tuple[str, ...]]
Named = tuple[Symbol, str]  # a class or function, or a member of the class


class MethodName(str):
    """The name of a method that the image looks up, and that may be shortened."""


@dataclass
class Found:
    """The objects of one image, by kind, in the order in which they were met.

    `changing`: what live code may change; other lists become tuples. `fixed`: classes whose instances
    nothing changes, so that of several that are alike one will do.
    """

    instances: dict[Shape, list[Any]] = field(default_factory=dict)
    kinds: dict[str, list[Any]] = field(default_factory=lambda: {kind: [] for kind in KINDS})
    named: list[Named] = field(default_factory=list)
    keys: set[Any] = field(default_factory=set)
    left_out: set[Any] = field(default_factory=set)
    changing: set[Any] = field(default_factory=set)
    fixed: set[Symbol] = field(default_factory=set)

    def texts(self, attributes: "set[str]") -> "set[str]":
        """The strings that some attributes hold; all there are when one of them is ""."""
        if "" in attributes:
            return {str(text) for text in self.kinds["str"]}
        found: set[str] = set()
        for (_, names), things in self.instances.items():
            waiting = [getattr(thing, name) for name in attributes & set(names) for thing in things]
            while waiting:
                each = waiting.pop()
                if isinstance(each, str):
                    found.add(each)
                elif isinstance(each, (list, tuple)):
                    waiting.extend(each)
        return found


class Writer:
    """The data of one image, once it is settled what is live."""

    def __init__(self, found: Found, roots: list[Any], rename: dict[str, str]) -> None:
        """`rename`: the short names of attributes."""
        self.data = bytearray()
        self.shapes = list(found.instances)
        self.named = found.named
        self._found = found
        self._rename = rename
        self._places: dict[Any, int] = {}
        self._count = 0
        self._same: dict[Any, Any] = {}
        self._freeze()
        self._merge()
        self._number_all()
        self._shells()
        self._fill()
        self._values(roots)

    def _freeze(self) -> None:
        """Lists that nothing changes are written as tuples, long ones of small numbers as arrays."""
        kinds = self._found.kinds
        met = kinds["list"]
        kinds["list"] = [thing for thing in met if key_of(thing) in self._found.changing]
        frozen = [thing for thing in met if key_of(thing) not in self._found.changing]
        waiting = [thing for thing in (*kinds["tuple"], *frozen) if not _code(thing)]
        kinds["array"] += [thing for thing in (*kinds["tuple"], *frozen) if _code(thing)]
        kinds["tuple"] = []
        done: set[Any] = set()
        pending = {key_of(thing) for thing in waiting}
        while waiting:
            later = []
            for thing in waiting:
                if any(key_of(item) in pending - done for item in thing):
                    later.append(thing)
                else:
                    kinds["tuple"].append(thing)
                    done.add(key_of(thing))
            if len(later) == len(waiting):
                raise GameError("a tuple of the image holds itself")
            waiting = later

    def _merge(self) -> None:
        """Of instances that are alike and that nothing changes the first stands for all."""
        first: dict[Any, Any] = {}
        for shape, things in self._found.instances.items():
            if shape[0] not in self._found.fixed:
                continue
            for thing in things:
                parts = [getattr(thing, name) for name in shape[1]]
                key = (shape, *[each if isinstance(each, int) else key_of(each) for each in parts])
                self._same[key_of(thing)] = key_of(first.setdefault(key, thing))
            things[:] = [thing for thing in things if self._same[key_of(thing)] == key_of(thing)]

    def _number_all(self) -> None:
        order: list[Any] = [*PLAIN, *self._found.named]
        for things in self._found.instances.values():
            order.extend(things)
        for kind in KINDS:
            order.extend(self._found.kinds[kind])
        self._count = len(order)
        for place, thing in enumerate(order):
            self._places[key_of(thing)] = place
        for key, same in self._same.items():
            self._places[key] = self._places[same]
        for key in self._found.left_out:
            self._places[key] = PLAIN.index(None)

    def _shells(self) -> None:
        kinds = self._found.kinds
        self._number(self._count)
        for things in self._found.instances.values():
            self._number(len(things))
        for kind in KINDS:
            self._number(len(kinds[kind]))
            for thing in kinds[kind]:
                self._shell(kind, thing)

    def _shell(self, kind: str, thing: Any) -> None:
        if kind in ("list", "zeros"):
            self._number(len(thing))
        elif kind in ("bytearray", "bytes", "str"):
            name = self._rename.get(thing, thing) if isinstance(thing, MethodName) else thing
            raw = name.encode() if isinstance(name, str) else name
            self._number(len(raw))
            self.data += raw
        elif kind == "array":
            self._number(ord(thing.typecode if isinstance(thing, array) else _code(thing)))
            self._values(thing)
        elif kind == "tuple":
            self._values(thing)
        elif kind == "method":
            self._value(thing.__self__)
            self._value(MethodName(thing.__name__))

    def _values(self, things: Any) -> None:
        self._number(len(things))
        for thing in things:
            self._value(thing)

    def _fill(self) -> None:
        for (_, names), things in self._found.instances.items():
            for thing in things:
                for name in names:
                    self._value(getattr(thing, name))
        for thing in self._found.kinds["list"]:
            for item in thing:
                self._value(item)
        self._number(len(self._found.kinds["dict"]))
        for thing in self._found.kinds["dict"]:
            self._number(len(thing))
            for key, item in thing.items():
                self._value(key)
                self._value(item)

    def _number(self, n: int) -> None:
        while n > 127:
            self.data.append(n & 127 | 128)
            n >>= 7
        self.data.append(n)

    def _value(self, thing: Any) -> None:
        if isinstance(thing, int) and not isinstance(thing, bool):
            self._number(((thing << 1 if thing >= 0 else (-1 - thing) << 1 | 1) << 1) | 1)
        else:
            self._number(self._places[key_of(thing)] << 1)


def key_of(thing: Any) -> Any:
    """What tells objects apart: plain constants by value, all others by identity."""
    if thing is None or isinstance(thing, (bool, str, bytes)):
        return type(thing), thing
    if isinstance(thing, (FunctionType, type)):
        owner, _, name = thing.__qualname__.rpartition(".")
        return _named_key(thing.__module__, owner, name)
    if isinstance(thing, tuple) and len(thing) == 2 and isinstance(thing[0], Symbol):
        symbol, member = thing
        return _named_key(symbol.module, *((symbol.name, member) if member else ("", symbol.name)))
    if isinstance(thing, MethodType):
        return "method", id(thing.__self__), thing.__name__
    return id(thing)


def _code(thing: Any) -> str:
    """The typecode of the array that can stand for a sequence that nothing changes, "" for none."""
    if len(thing) < LONG or any(type(each) is not int for each in thing):
        return ""
    for code, least, most in (("B", 0, 255), ("b", -128, 127), ("H", 0, 65535), ("h", -32768, 32767)):
        if least <= min(thing) and max(thing) <= most:
            return code
    return ""


def _named_key(module: str, owner: str, name: str) -> Any:
    return "named", module, owner, name


def plain_kind(thing: "bytearray | array[Any] | bytes | str") -> str:
    """The kind of an object that holds no others."""
    if isinstance(thing, bytearray):
        return "bytearray" if any(thing) else "zeros"
    return "array" if isinstance(thing, array) else "bytes" if isinstance(thing, bytes) else "str"
