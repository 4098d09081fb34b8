"""Which classes an attribute is of in the objects that the images hold."""

from types import MethodType
from typing import Any

from hil.bundle.image import key_of
from hil.bundle.kinds import Kind
from hil.bundle.modules import Modules, Symbol


class Oracle:
    """What the attributes of every class hold in these objects."""

    def __init__(self, modules: Modules, roots: "list[Any]") -> None:
        self._modules = modules
        self._kinds: dict[tuple[Symbol, str], Kind] = {}
        self._seen: set[Any] = set()
        self.classes: set[Symbol] = set()
        self.instances: dict[Symbol, list[Any]] = {}
        self.root_of: dict[Any, int] = {}  # by object the first root that holds it
        self._root = 0
        for self._root, root in enumerate(roots):
            self._visit(root)

    def attribute(self, symbol: Symbol, name: str) -> "Kind | None":
        """What `.name` of instances of a class is; None when they have none."""
        return self._kinds.get((symbol, name))

    def _visit(self, thing: Any) -> Kind:
        """The kind of a thing, after a look at all it holds."""
        own = self._class(thing)
        new = key_of(thing) not in self._seen
        self._seen.add(key_of(thing))
        if isinstance(thing, MethodType) and new:
            self._visit(thing.__self__)
        if isinstance(thing, (list, tuple, dict)):
            items = frozenset[Symbol]()
            for item in [*thing, *thing.values()] if isinstance(thing, dict) else thing:
                if own or not new:
                    break
                kind = self._visit(item)
                items |= kind.classes | kind.items
            return Kind(frozenset(), items if new else self._items(thing))
        if own and new:
            self.classes.add(own)
            self.instances.setdefault(own, []).append(thing)
            self.root_of[key_of(thing)] = self._root
            self._modules.read(own.module)
            for name, value in vars(thing).items():
                kind = self._visit(value)
                self._kinds[own, name] = self._kinds.get((own, name), Kind()) | kind
        return Kind(frozenset([own]) if own else frozenset())

    def _items(self, thing: Any) -> frozenset[Symbol]:
        """The classes in a sequence that was seen before."""
        found = frozenset[Symbol]()
        waiting = [thing]
        while waiting:
            each = waiting.pop()
            own = self._class(each)
            if own:
                found |= {own}
            elif isinstance(each, (list, tuple)):
                waiting.extend(each)
            elif isinstance(each, dict):
                waiting.extend([*each, *each.values()])
        return found

    def _class(self, thing: Any) -> "Symbol | None":
        cls = type(thing)
        return Symbol(cls.__module__, cls.__qualname__) if self._modules.own(cls.__module__) else None
