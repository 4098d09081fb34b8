"""Which classes an expression can be of.

What `self.play.engine` is, is read off the machine that stands on the host, so that `.value` behind it
keeps nothing of other classes that have a `value` too. Where live code sets an attribute, and for
parameters, annotations tell. Where those say nothing either, the name alone counts.
"""

import ast
from dataclasses import dataclass, field
from typing import Any

from hil.bundle.hints import Hints
from hil.bundle.kinds import Kind
from hil.bundle.modules import Hub, Module, Outside, Symbol
from hil.bundle.oracle import Oracle

BUILT = (ast.Constant, ast.JoinedStr, ast.Tuple, ast.List, ast.Dict, ast.Set, ast.ListComp, ast.Compare)


@dataclass
class Unsure:
    """What live code changes, and so what the images do not tell; grows from attempt to attempt.

    See Facts; `late`: symbols that are not in the main module, whose code is left as it is.
    """

    stored: "set[tuple[Symbol | None, str]]" = field(default_factory=set)
    made: set[Symbol] = field(default_factory=set)
    changing: set[Any] = field(default_factory=set)
    hubs: dict[Any, Hub] = field(default_factory=dict)
    late: set[Symbol] = field(default_factory=set)

    def holds(self, other: "Unsure") -> bool:
        """Whether `other` says nothing new."""
        return (
            other.stored <= self.stored
            and other.made <= self.made
            and other.changing <= self.changing
            and other.hubs.keys() <= self.hubs.keys()
            and other.late <= self.late
        )

    def and_(self, other: "Unsure") -> "Unsure":
        """Both."""
        return Unsure(
            self.stored | other.stored,
            self.made | other.made,
            self.changing | other.changing,
            {**other.hubs, **self.hubs},
            self.late | other.late,
        )


class Facts:
    """What the images and the annotations tell, and what of it live code may change.

    `stored`: attributes that it sets, with the class they are of, None when that is not known; `made`:
    classes that it makes instances of; `changing`: objects whose contents it changes. `hubs`: objects
    that are globals; `asked` counts how often each object is asked for by attributes.
    """

    def __init__(self, oracle: Oracle, hints: Hints, unsure: "Unsure") -> None:
        self.oracle = oracle
        self.hints = hints
        self.modules = hints.modules
        self.stored = unsure.stored
        self.made = unsure.made
        self.changing = unsure.changing
        self.hubs = unsure.hubs
        self.asked: dict[Any, int] = {}

    def attribute(self, holder: Kind, name: str) -> "Kind | None":
        """What `.name` of a `holder` is; None when that is not known of some class of it."""
        found = Kind()
        for symbol in holder.classes:
            kind = None if self.is_stored(symbol, name) else self.oracle.attribute(symbol, name)
            if kind is None:
                kind = self.hints.attribute(symbol, name)
            if kind is None:
                return None
            found |= kind
        return found

    def method(self, symbol: Symbol, name: str) -> "tuple[Symbol, ast.FunctionDef] | None":
        """The method that instances of a class have under a name, and the class it stands in."""
        module = self.modules.all.get(symbol.module)
        node = module.defined.get(symbol.name) if module else None
        if not isinstance(node, ast.ClassDef) or module is None:
            return None
        for part in node.body:
            if isinstance(part, ast.FunctionDef) and part.name == name:
                return symbol, part
        for base in node.bases:
            meant = self.modules.resolve(module, base.id) if isinstance(base, ast.Name) else None
            found = self.method(meant, name) if isinstance(meant, Symbol) else None
            if found:
                return found
        return None

    def is_stored(self, symbol: Symbol, name: str) -> bool:
        """Whether live code may set `.name` of instances of a class, or change what it holds."""
        return (None, name) in self.stored or (symbol, name) in self.stored


class Guess:
    """The kinds of expressions in one function."""

    def __init__(
        self, facts: Facts, module: Module, owner: "Symbol | None", bases: Kind, node: ast.AST
    ) -> None:
        """`owner`: the class that the function is a method of, with its `bases`."""
        self._facts = facts
        self._module = module
        self._node = node
        self._parameters: set[str] = set()
        self._bound: set[str] = set()
        self._known: dict[str, ast.expr] = {}
        self._looped: dict[str, ast.expr] = {}
        self._is_method = owner is not None
        self._owner = facts.hints.family(owner) if owner else Kind()
        self._bases = bases
        self._self = ""
        if isinstance(node, ast.FunctionDef):
            if node.args.args:
                self._self = node.args.args[0].arg
            self._note_locals(node)

    def of(self, node: ast.expr, depth: int = 0) -> "Kind | None":
        """The kind of an expression, None when it is not known."""
        if depth > 9:
            return None
        if isinstance(node, ast.Name):
            meant = getattr(node, "meant", None)
            if meant is not None:
                return self._meant(meant)
            if self.is_self(node.id):
                return self._owner
            if isinstance(self._node, ast.FunctionDef) and node.id in self._parameters:
                return self._facts.hints.parameter(self._module, self._node, node.id)
            if node.id in self._known:
                return self.of(self._known[node.id], depth + 1)
            if node.id in self._looped:
                return _held(self.of(self._looped[node.id], depth + 1))
            return self._global(node.id)
        elif isinstance(node, BUILT):
            return Kind()
        elif isinstance(node, ast.Call):
            return self._result(node, depth)
        elif isinstance(node, ast.Subscript):
            return _held(self.of(node.value, depth + 1))
        elif isinstance(node, ast.Attribute):
            holder = self.of(node.value, depth + 1)
            return self._facts.attribute(holder, node.attr) if holder else None
        return None

    def is_self(self, name: str) -> bool:
        """Whether a name is the first parameter of the method."""
        return name == self._self and self._is_method

    def binds(self, name: str) -> bool:
        """Whether the function binds a name."""
        return name in self._bound

    def known(self, name: str) -> "ast.expr | None":
        """What a local name that is bound once is bound to."""
        return self._known.get(name)

    def _result(self, node: ast.Call, depth: int) -> "Kind | None":
        """The kind of what a call gives: by the annotation of what is called."""
        called = node.func
        if isinstance(called, ast.Name):
            if called.id == "super":
                return self._bases
            if called.id in self._known or called.id in self._looped or called.id in self._parameters:
                return None
            return self._facts.hints.result(self._module, called.id)
        if isinstance(called, ast.Attribute):
            holder = self.of(called.value, depth + 1)
            if holder is None:
                return None
            return self._facts.hints.method_result(holder, called.attr)
        return None

    def _global(self, name: str) -> "Kind | None":
        """A value at the top of a module that is of Python's own types, or comes from outside."""
        if name in self._bound:
            return None
        return self._meant(self._facts.modules.resolve(self._module, name))

    def _meant(self, meant: object) -> "Kind | None":
        if isinstance(meant, Hub):
            cls = type(meant.thing)
            return Kind(frozenset([Symbol(cls.__module__, cls.__qualname__)]))
        if isinstance(meant, Outside):
            return Kind()
        if isinstance(meant, Symbol):
            node = self._facts.modules.all[meant.module].defined[meant.name]
            return Kind() if isinstance(node, (ast.Assign, ast.AnnAssign)) and _is_built(node.value) else None
        return None

    def holder(self, node: ast.expr) -> "ast.Attribute | None":
        """The attribute that `node` is, is a piece of, or is a local name for."""
        while isinstance(node, ast.Subscript):
            node = node.value
        if isinstance(node, ast.Name):
            known = self._known.get(node.id)
            return self.holder(known) if known is not None else None
        return node if isinstance(node, ast.Attribute) else None

    def _note_locals(self, node: ast.FunctionDef) -> None:
        """Local names that are bound once, by an assignment or a loop."""
        bound: dict[str, int] = {each.arg: 1 for each in node.args.args}
        self._parameters = set(bound)
        for each in ast.walk(node):
            if isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store):
                bound[each.id] = bound.get(each.id, 0) + 1
        for each in ast.walk(node):
            if isinstance(each, ast.Assign) and len(each.targets) == 1:
                self._note(each.targets[0], each.value)
            elif isinstance(each, (ast.For, ast.comprehension)) and isinstance(each.target, ast.Name):
                self._looped[each.target.id] = each.iter
        self._looped = {name: value for name, value in self._looped.items() if bound[name] == 1}
        self._known = {name: value for name, value in self._known.items() if bound[name] == 1}
        self._bound = set(bound)
        self._parameters = {name for name in self._parameters if bound[name] == 1}

    def _note(self, target: ast.expr, value: ast.expr) -> None:
        if isinstance(target, ast.Name):
            self._known[target.id] = value
        elif isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
            for part, its in zip(target.elts, value.elts, strict=False):
                self._note(part, its)


def _is_built(node: "ast.expr | None") -> bool:
    """Whether an expression surely is of one of Python's own types."""
    return isinstance(node, (*BUILT, ast.BinOp, ast.UnaryOp))


def _held(kind: "Kind | None") -> "Kind | None":
    return kind.held() if kind else None
