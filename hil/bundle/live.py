"""What can run on the board: everything that is reached from the entries and from the images.

A method that only set-up calls is reached by nothing and left out. Which method `x.name` means is
told by the class of `x` where that is known (oracle); where not, every `name` of every class is kept.
"""

import ast
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from firmware.base.errors import GameError
from hil.bundle.exact import UNKNOWN
from hil.bundle.fold import Fold
from hil.bundle.guess import Facts, Guess, Unsure
from hil.bundle.hints import Hints
from hil.bundle.image import key_of
from hil.bundle.kinds import Kind
from hil.bundle.modules import Hub, Modules, Outside, Symbol, check_class
from hil.bundle.oracle import Oracle
from hil.bundle.references import References, bare, references

OFTEN = 8  # times that an object must be asked for to become a global


@dataclass
class Class:
    """A class that is there: `instances` exist in an image or are made on the board."""

    symbol: Symbol
    members: "dict[str, list[ast.stmt]]"  # a property and its setter have one name
    bases: "list[Symbol]"
    instances: bool = False
    made: bool = False
    kept: set[str] = field(default_factory=set)
    accessed: set[str] = field(default_factory=set)


class Live:
    """Grows until nothing new is reached; `without` names classes that are to be left out."""

    def __init__(
        self, modules: Modules, oracle: Oracle, unsure: Unsure, without: "frozenset[Symbol]" = frozenset()
    ) -> None:
        self.modules = modules
        self.without = without
        self.symbols: set[Symbol] = set()
        self.classes: dict[Symbol, Class] = {}
        self.attributes: set[str] = set()  # of receivers of which nothing is known
        self.lent: set[tuple[Symbol | None, str]] = set()
        self.needs: dict[Symbol, set[Symbol]] = {}  # what the code of each refers to
        self.imaged: set[Symbol] = set()  # named by an image
        self.outside: set[Outside] = set()
        self.locals: set[str] = set()
        self.by_name: set[str] = set()  # see References
        self.seen = Unsure()
        self.folded: dict[int, ast.AST] = {}  # by the id of a function's source
        self.hubs: set[Hub] = set()
        self._oracle = oracle
        self.unsure = unsure
        self._facts = Facts(oracle, Hints(modules, oracle.classes | unsure.made), unsure)
        self._waiting: list[tuple[Symbol, ast.stmt, Class | None]] = []

    def reach(self, symbol: Symbol) -> None:
        """`symbol` is used: called, read, or an instance is made of it."""
        module = self.modules.all[symbol.module]
        node = module.defined.get(symbol.name)
        if node is None:
            raise module.problem or GameError(f"there is no '{symbol.name}' to bundle", str(module.path))
        if isinstance(node, ast.ClassDef):
            self.be_there(symbol, True)
            self.classes[symbol].made = True
            self.seen.made.add(symbol)
        elif symbol not in self.symbols:
            self._admit(symbol)
            self._waiting.append((symbol, node, None))

    def be_there(self, symbol: Symbol, instances: bool) -> None:
        """The class `symbol` has instances, or heirs that have."""
        if symbol in self.classes:
            self.classes[symbol].instances |= instances
            return
        module = self.modules.all[symbol.module]
        node = module.defined[symbol.name]
        assert isinstance(node, ast.ClassDef)
        check_class(module, node)
        self._admit(symbol)
        self.needs[symbol] = set()
        bases: list[Symbol] = []
        for base in node.bases:
            found = references(self.modules, module, base)
            self.outside |= found.outside
            bases.extend(found.symbols)
            self.needs[symbol] |= found.symbols
        self.classes[symbol] = Class(symbol, members(node), bases, instances)
        for each in bases:
            self.be_there(each, False)

    def keep(self, symbol: Symbol, name: str) -> bool:
        """The member `name` of this class, or of the base that it has it from, is used; False: has none."""
        self.be_there(symbol, False)
        found = self.classes[symbol]
        if name not in found.members:
            return any(self.keep(base, name) for base in found.bases)
        if name not in found.kept and symbol not in self.without:
            found.kept.add(name)
            self._waiting.extend((symbol, node, found) for node in found.members[name])
        return True

    def ask(self, symbol: Symbol, name: str) -> None:
        """Something asks instances of this class for `.name`."""
        self.be_there(symbol, False)
        self.classes[symbol].accessed.add(name)

    def attributes_of(self, symbol: Symbol) -> "set[str]":
        """The attributes of this class's instances that live code asks for."""
        return self.attributes | self.classes[symbol].accessed

    def is_fixed(self, symbol: Symbol, name: str) -> bool:
        """Whether no live code sets this attribute of a class, or changes what it holds."""
        changed = self.seen.stored
        return (symbol, name) not in changed and (None, name) not in changed

    def is_lent(self, symbol: Symbol, name: str) -> bool:
        """Whether live code hands on what this attribute of a class holds."""
        return (symbol, name) in self.lent or (None, name) in self.lent

    def settle(self) -> bool:
        """Follow what was reached; whether anything new came of it."""
        before = self._size()
        while True:
            while self._waiting:
                symbol, node, owner = self._waiting.pop()
                found = self._references(symbol, node, owner)
                self.needs.setdefault(symbol, set()).update(found.symbols)
                self._take(found)
            for each in list(self.classes.values()):
                self._keep_members(each)
            if not self._waiting:
                return self._size() != before

    def kept(self, symbol: Symbol) -> "list[ast.stmt]":
        """The members of a class that are kept, in the order of the source."""
        found = self.classes[symbol]
        kept = [node for name, nodes in found.members.items() if name in found.kept for node in nodes]
        return [self.folded.get(id(node), node) for node in kept]  # type: ignore[misc]

    def _admit(self, symbol: Symbol) -> None:
        module = self.modules.all[symbol.module]
        if module.problem:
            raise module.problem
        self.symbols.add(symbol)
        for each in module.runs:
            self.reach(each)
            self.needs.setdefault(symbol, set()).add(each)

    def _size(self) -> "tuple[int, ...]":
        kept = sum(len(each.kept) + len(each.accessed) + each.instances for each in self.classes.values())
        return len(self.symbols), len(self.attributes), kept, len(self.outside)

    def _references(self, symbol: Symbol, node: ast.stmt, owner: "Class | None") -> References:
        names = frozenset(owner.members) if owner else frozenset[str]()
        bases = Kind(frozenset(owner.bases)) if owner else Kind()
        module = self.modules.all[symbol.module]
        guess = Guess(self._facts, module, symbol if owner else None, bases, node)
        plain = bare(node)
        if isinstance(node, ast.FunctionDef) and symbol not in self.unsure.late:
            plain = Fold(self._facts, module, guess, self._own(symbol, owner)).visit(plain)
        self.folded[id(node)] = plain
        return references(self.modules, module, plain, names, guess)

    def _own(self, symbol: Symbol, owner: "Class | None") -> "Any":
        """What `self` is in the methods of a class, when there can be only one."""
        things = []
        for each in self._facts.hints.family(symbol).classes if owner else ():
            if each in self.unsure.made:
                return UNKNOWN
            things += self._oracle.instances[each]
        return things[0] if len(things) == 1 else UNKNOWN

    def much_asked(self) -> "dict[Any, Hub]":
        """The objects that live code asks for so often that a global pays."""
        found: dict[Any, Hub] = {}
        for things in self._oracle.instances.values():
            for thing in things:
                key = key_of(thing)
                if self._facts.asked.get(key, 0) >= OFTEN and key not in self.unsure.hubs:
                    found[key] = Hub(thing, f"hub_{len(self.unsure.hubs) + len(found)}")
        return found

    def _take(self, found: References) -> None:
        self.outside |= found.outside
        self.locals |= found.locals
        self.hubs |= found.hubs
        self.seen.stored |= _by_class(found.stored)
        self.lent |= _by_class(found.lent)
        self.by_name |= found.by_name
        for symbol in found.symbols | found.late:
            self.reach(symbol)
        for kind, name in found.attributes:
            if kind is None:
                self.attributes.add(name)
                continue
            for symbol in kind.classes:
                self.ask(symbol, name)

    def _keep_members(self, each: Class) -> None:
        wanted = set(each.accessed)
        if each.instances:
            wanted |= self.attributes | {name for name in self._all_members(each) if _special(name)}
            if not each.made and "__init__" not in each.accessed:
                wanted.discard("__init__")
        for name in wanted:
            self.keep(each.symbol, name)

    def _all_members(self, each: Class) -> "set[str]":
        found = set(each.members)
        for base in each.bases:
            found |= self._all_members(self.classes[base])
        return found


def settled(attempt: "Callable[[Unsure], Live]", unsure: Unsure) -> Live:
    """Attempt it again until nothing that live code changes is news."""
    while True:
        live = attempt(unsure)
        live.seen.hubs = live.much_asked()
        if unsure.holds(live.seen):
            return live
        unsure = unsure.and_(live.seen)


def _by_class(found: "set[tuple[Kind | None, str]]") -> "set[tuple[Symbol | None, str]]":
    return {(symbol, name) for kind, name in found for symbol in (kind.classes if kind else [None])}


def _special(name: str) -> bool:
    return name.startswith("__") and name.endswith("__")


def members(node: ast.ClassDef) -> "dict[str, list[ast.stmt]]":
    """Methods and values of a class by name."""
    found: dict[str, list[ast.stmt]] = {}
    for part in node.body:
        if isinstance(part, ast.FunctionDef):
            found.setdefault(part.name, []).append(part)
        elif isinstance(part, ast.Assign) and isinstance(part.targets[0], ast.Name):
            found[part.targets[0].id] = [part]
        elif isinstance(part, ast.AnnAssign) and isinstance(part.target, ast.Name) and part.value:
            found[part.target.id] = [part]
    return found
