"""Gives every name of a merged module that nobody outside uses a short one: names cost heap on a board.

Locals and parameters, globals, and attributes are three kinds; a short name can serve in all three,
except that no local is called like a global that code names. One name becomes one short name everywhere,
so that keyword arguments and attributes of whatever object still meet; but attributes that no class has
both of (families), and locals that no function has both of, share a short name.
"""

import ast
import builtins
import keyword
from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator
from string import ascii_letters, ascii_lowercase, ascii_uppercase, digits

from hil.bundle.families import Families, shared
from hil.bundle.scopes import Scoped

Names = dict[str, str]


class _Census(Scoped):
    """Counts the uses of each name of each kind, and notes which names may not change."""

    def __init__(self, defined: set[str]) -> None:
        super().__init__()
        self.defined = defined
        self.open: set[str] = set()  # functions that take any keyword
        self.globals: Counter[str] = Counter()
        self.locals: Counter[str] = Counter()
        self.attributes: Counter[str] = Counter()
        self.keywords: set[str] = set()
        self.ours: set[str] = set()  # attributes that our own classes have or set
        self.meeting: dict[str, set[str]] = {}  # locals by each other in one function, nested ones included
        self._together: set[str] = set()

    def seen_global(self, node: ast.Name) -> ast.expr:
        self.globals[node.id] += 1
        return node

    def seen_local(self, name: str) -> str:
        self.locals[name] += 1
        self._together.add(name)
        return name

    def _function(self, node: "ast.FunctionDef | ast.Lambda") -> None:
        if not self._scopes:
            self._together = set()
        super()._function(node)
        if not self._scopes:
            for name in self._together:
                self.meeting.setdefault(name, set()).update(self._together)

    def seen_attribute(self, name: str) -> str:
        self.attributes[name] += 1
        return name

    def seen_keyword(self, call: ast.Call, name: str) -> str:
        called = call.func
        known = isinstance(called, ast.Name) and called.id in self.defined and called.id not in self.open
        if not known and not (isinstance(called, ast.Attribute) and called.attr in self.ours):
            self.keywords.add(name)
        return name


class Shortener:
    """Decides the short names once, then applies them to as many trees as need them."""

    def __init__(
        self,
        trees: "list[ast.Module]",
        homes: "Container[str]",
        keep: set[str],
        shapes: "Iterable[tuple[str, Iterable[str]]]",
    ) -> None:
        """`homes`: the names of the modules; `keep`: names of any kind that stay as they are;
        `shapes`: classes with attributes that instances in images have."""
        self.homes = homes
        defined = _defined(trees)
        census = _Census(defined)
        shapes = list(shapes)
        census.ours = _own_attributes(trees).union(*(names for _, names in shapes))
        census.open = _open(trees)
        for tree in trees:
            for node in tree.body:
                census.visit(node)
        fixed = keep | census.keywords | set(dir(builtins)) | set(keyword.kwlist)
        fixed |= {name for name in census.attributes if name not in census.ours}
        fixed |= {name for name in census.globals if name not in defined}
        small, large = _pool(ascii_lowercase, fixed), _pool(ascii_uppercase, fixed)
        ordered = sorted(census.locals, key=lambda name: (-census.locals[name], name))
        self.locals = shared([name for name in ordered if name not in census.keywords], census.meeting, small)
        self.globals = _choose(census.globals, lambda name: name in defined and name not in keep, large)
        unnamed = sorted(defined - census.globals.keys() - keep)  # what only images ask for
        self.globals |= dict(zip(unnamed, _chain(sorted({*self.locals.values()}), large), strict=False))
        used = sorted({*self.locals.values(), *self.globals.values()}, key=lambda name: (len(name), name))
        more = (name for name in _pool(ascii_letters, fixed) if name not in used)
        for name in census.ours:
            census.attributes.setdefault(name, 0)
        families = Families(trees, shapes)
        ordered = sorted(census.attributes, key=lambda name: (-census.attributes[name], name))
        self.attributes = families.share([name for name in ordered if name not in fixed], _chain(used, more))
        self.uses = self._uses(census)

    def apply(self, tree: ast.Module) -> None:
        """Rename in place."""
        renamer = _Renamer(self)
        for node in tree.body:
            renamer.visit(node)
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
                node.name = self.globals.get(node.name, node.name)

    def _uses(self, census: _Census) -> "Counter[str]":
        """How often code names each short name: its globals and attributes."""
        uses: Counter[str] = Counter()
        for names, counts in ((self.globals, census.globals), (self.attributes, census.attributes)):
            for name, count in counts.items():
                uses[names.get(name, name)] += count
        return uses


class _Renamer(Scoped):
    def __init__(self, short: Shortener) -> None:
        super().__init__()
        self._short = short

    def seen_global(self, node: ast.Name) -> ast.expr:
        return ast.copy_location(ast.Name(self._short.globals.get(node.id, node.id), node.ctx), node)

    def seen_local(self, name: str) -> str:
        return self._short.locals.get(name, name)

    def seen_attribute(self, name: str) -> str:
        return self._short.attributes.get(name, name)

    def seen_keyword(self, call: ast.Call, name: str) -> str:
        return self._short.locals.get(name, name)

    def visit_ImportFrom(self, node: ast.ImportFrom) -> ast.stmt:
        super().visit_ImportFrom(node)
        if node.module in self._short.homes:
            for alias in node.names:
                alias.name = self._short.globals.get(alias.name, alias.name)
        return node


def _defined(trees: "list[ast.Module]") -> set[str]:
    """Global names that the trees define."""
    found: set[str] = set()
    for tree in trees:
        for node in tree.body:
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
                found.add(node.name)
            elif isinstance(node, ast.Assign):
                found |= {each.id for each in ast.walk(node.targets[0]) if isinstance(each, ast.Name)}
    return found


def _open(trees: "list[ast.Module]") -> set[str]:
    """Functions that take any keyword argument."""
    functions = [each for tree in trees for each in ast.walk(tree) if isinstance(each, ast.FunctionDef)]
    return {each.name for each in functions if each.args.kwarg}


def _own_attributes(trees: "list[ast.Module]") -> set[str]:
    """Attributes that our classes define or our code sets; special methods are Python's."""
    found: set[str] = set()
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                for part in node.body:
                    if isinstance(part, ast.FunctionDef):
                        found.add(part.name)
                    elif isinstance(part, ast.Assign) and isinstance(part.targets[0], ast.Name):
                        found.add(part.targets[0].id)
            elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
                found.add(node.attr)
    return {name for name in found if not name.startswith("__")}


def _pool(first: str, fixed: set[str]) -> "Iterator[str]":
    """Short names, the shortest first."""
    for a in first:
        if a not in fixed:
            yield a
    for a in first:
        for b in ascii_letters + digits:
            if a + b not in fixed:
                yield a + b
    for a in first:
        for b in ascii_letters + digits:
            for c in ascii_letters + digits:
                if a + b + c not in fixed:
                    yield a + b + c


def _choose(counts: "Counter[str]", may: "Callable[[str], bool]", pool: "Iterator[str]") -> Names:
    """The most used names get the first of the pool."""
    ordered = sorted(counts, key=lambda name: (-counts[name], name))
    return {name: next(pool) for name in ordered if may(name)}


def _chain(*parts: "Iterable[str]") -> "Iterator[str]":
    for part in parts:
        yield from part
