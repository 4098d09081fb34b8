"""Finds the objects that an image holds, so far as what runs on the board can reach them."""

import hashlib
from array import array
from types import FunctionType, MethodType
from typing import Any

from firmware.base.errors import GameError
from hil.bundle.image import Found, MethodName, Named, key_of, plain_kind
from hil.bundle.live import Live
from hil.bundle.modules import Hub, Symbol

LEAST, MOST = -(2**30), 2**30 - 1


class Walk:
    """One look at everything; what is found is made live."""

    def __init__(self, live: Live, root: Any, hubs: "list[Hub]", name: str) -> None:
        """`hubs`: objects of this image that are globals."""
        self.found = Found()
        self._live = live
        self._visit(root, name, True)
        self.hubs = sorted(hubs, key=lambda hub: hub.name)
        for hub in self.hubs:
            self._visit(hub.thing, hub.name, True)
        live.seen.changing |= self.found.changing

    def _visit(self, thing: Any, path: str, may_change: bool) -> None:
        if thing is None or isinstance(thing, bool):
            return
        if isinstance(thing, int):
            if not LEAST <= thing <= MOST:
                raise GameError(f"{path} is {thing}, which is no small integer on a 32-bit board")
            return
        key = key_of(thing)
        seen = key in self.found.keys and (not may_change or key in self.found.changing)
        if may_change:
            self.found.changing.add(key)
        if seen or (key in self.found.keys and not isinstance(thing, (list, tuple, range, dict))):
            return
        known = key in self.found.keys
        self.found.keys.add(key)
        if isinstance(thing, (list, tuple, range)):
            for i, item in enumerate(thing):
                self._visit(item, f"{path}[{i}]", may_change)
            self._note("list" if isinstance(thing, list) else "tuple", thing, known)
        elif isinstance(thing, dict):
            for index, item in thing.items():
                self._visit(index, f"a key of {path}", may_change)
                self._visit(item, f"{path}[{index!r}]", may_change)
            self._note("dict", thing, known)
        elif self._is_left_out(thing):
            self.found.left_out.add(key)
        elif isinstance(thing, MethodType):
            self._function(thing.__func__, path)
            self._visit(thing.__self__, path, False)
            self._visit(MethodName(thing.__name__), path, False)
            self.found.kinds["method"].append(thing)
        elif isinstance(thing, (FunctionType, type)):
            self.found.named.append(self._function(thing, path))
        elif isinstance(thing, (bytearray, array, bytes, str)):
            self.found.kinds[plain_kind(thing)].append(thing)
        elif type(thing) is type(hashlib.sha256()) and thing.digest() == hashlib.sha256().digest():
            self.found.kinds["hash"].append(thing)
        else:
            self._instance(thing, path)

    def _note(self, kind: str, thing: Any, known: bool) -> None:
        if not known:
            self.found.kinds[kind].append(thing)

    def _is_left_out(self, thing: Any) -> bool:
        """Whether it is a method of a class that the bundle is made without."""
        if isinstance(thing, MethodType):
            holder = type(thing.__self__)
            left_out = Symbol(holder.__module__, holder.__qualname__) in self._live.without
            return left_out or self._is_left_out(thing.__func__)
        owner = thing.__qualname__.rpartition(".")[0] if isinstance(thing, FunctionType) else ""
        return bool(owner) and Symbol(thing.__module__, owner) in self._live.without

    def _function(self, thing: Any, path: str) -> Named:
        module = thing.__module__
        owner, _, name = thing.__qualname__.rpartition(".")
        if not self._live.modules.own(module) or "<" in thing.__qualname__ or "." in owner:
            raise GameError(f"{path} is {thing.__qualname__}, which an image cannot name")
        self._live.modules.read(module)
        self._live.imaged.add(Symbol(module, owner or name))
        if owner:
            self._live.keep(Symbol(module, owner), name)
            return Symbol(module, owner), name
        self._live.reach(Symbol(module, name))
        return Symbol(module, name), ""

    def _instance(self, thing: Any, path: str) -> None:
        cls = type(thing)
        if not self._live.modules.own(cls.__module__) or not hasattr(thing, "__dict__"):
            raise GameError(f"{path} is a {cls.__name__}, which an image cannot hold")
        self._live.modules.read(cls.__module__)
        symbol = Symbol(cls.__module__, cls.__qualname__)
        if symbol in self._live.without:
            self.found.left_out.add(key_of(thing))
            return
        self._live.imaged.add(symbol)
        self._live.be_there(symbol, True)
        wanted = self._live.attributes_of(symbol)
        names = tuple(name for name in vars(thing) if name in wanted)
        self.found.instances.setdefault((symbol, names), []).append(thing)
        if all(self._live.is_fixed(symbol, name) for name in names):
            self.found.fixed.add(symbol)
        for name in names:
            fixed = self._live.is_fixed(symbol, name) and not self._live.is_lent(symbol, name)
            self._visit(getattr(thing, name), f"{path}.{name}", not fixed)
