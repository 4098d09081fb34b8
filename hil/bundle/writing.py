"""Writes the sources of a bundle: the main module, the parts that come apart, the images."""

import ast

from firmware.base import image as loader
from hil.bundle.guess import Unsure
from hil.bundle.image import Writer
from hil.bundle.live import Live, settled
from hil.bundle.merge import Merger
from hil.bundle.modules import Modules, Symbol
from hil.bundle.oracle import Oracle
from hil.bundle.outside import names as outside_names
from hil.bundle.parts import homes
from hil.bundle.plan import IMAGE, Bundle, Plan
from hil.bundle.shorten import Shortener
from hil.bundle.text import line_map, written
from hil.bundle.walk import Walk

HOT = 127  # so many names of a module take one byte each in its code, those that come first


class Writing:
    """One bundle on its way out, once it is settled what is live."""

    def __init__(self, plan: Plan, live: Live, walks: "dict[Symbol, Walk]") -> None:
        self._plan = plan
        self._live = live
        self._walks = walks
        self._public = (*plan.entries, *plan.beside)
        self._merger = Merger(live, homes(live, plan))
        self._trees = {
            home: ast.Module(self._merger.imports() + statements, [])
            for home in sorted(set(self._merger.homes.values()))
            if (statements := self._merger.statements(home))  # not if all of it is constants
        }
        hubs = sorted({hub.name for walk in walks.values() for hub in walk.hubs})
        self._drop(hubs)
        self._trees[plan.name].body += [ast.parse(f"{hub} = None").body[0] for hub in hubs]
        self._lines: list[str] = []
        self._loader = _loader()
        self._short = self._shortener() if plan.short else None

    def bundle(self) -> Bundle:
        """The sources, by module."""
        plan = self._plan
        sources: dict[str, str] = {}
        images: dict[str, bytes] = {}
        for home, tree in self._trees.items():
            if self._short:
                self._short.apply(tree)
            sources[home] = self._text(home, tree)
        if self._short:
            self._short.apply(self._loader)
        for symbol, walk in self._walks.items():
            roots = [plan.images[symbol], *[hub.thing for hub in walk.hubs]]
            writer = Writer(walk.found, roots, self._attributes)
            hubs = [self._short_global(hub.name) for hub in walk.hubs]
            sources[plan.file_of(symbol)] = ast.unparse(self._loader) + "\n" + self._unpack(writer, hubs)
            images[plan.file_of(symbol)] = bytes(writer.data)
        return Bundle(sources, images, self._name_map(), "".join(self._lines), self._live.unsure)

    def _drop(self, hubs: "list[str]") -> None:
        """Give the plan's `let_go` its body."""
        name = self._merger.names.get(self._plan.let_go) if self._plan.let_go else None
        for each in self._trees[self._plan.name].body:
            if hubs and isinstance(each, ast.FunctionDef) and each.name == name:
                each.body = ast.parse(f"global {', '.join(hubs)}\n{' = '.join(hubs)} = None").body

    @property
    def _attributes(self) -> "dict[str, str]":
        return self._short.attributes if self._short else {}

    def _name(self, symbol: Symbol) -> str:
        """What the bundle calls a symbol."""
        return self._short_global(self._merger.names[symbol])

    def _short_global(self, name: str) -> str:
        return self._short.globals.get(name, name) if self._short else name

    def _shortener(self) -> Shortener:
        plan, live = self._plan, self._live
        fixed = {each.name for each in self._public} | {name for _, name in plan.keep} | {"load", "unpack"}
        fixed |= outside_names({each.module for each in live.outside} | {"sys", "hashlib", "array"})
        for walk in self._walks.values():
            fixed |= walk.found.texts(live.by_name)
        shapes = [
            (self._merger.names[symbol], names)
            for walk in self._walks.values()
            for symbol, names in walk.found.instances
        ]
        return Shortener([*self._trees.values(), self._loader], self._trees, fixed, shapes)

    def _text(self, home: str, tree: ast.Module) -> str:
        main = home == self._plan.name
        lines = [_hot(self._short)] if main and self._short else []
        lines += self._borrowed(home)
        for each in tree.body:
            text = written(each)
            self._lines += line_map(home, sum(part.count("\n") + 1 for part in lines), each, text)
            lines.append(text)
        for symbol in self._public:
            if self._merger.homes[symbol] == home and self._name(symbol) != symbol.name:
                lines.append(f"{symbol.name} = {self._name(symbol)}")
        return "\n".join(lines) + "\n"

    def _borrowed(self, home: str) -> "list[str]":
        """What a module needs of the others; the main one needs nothing."""
        needed: dict[str, set[str]] = {}
        for symbol, where in self._merger.homes.items():
            for other in self._live.needs[symbol] if where == home else ():
                if self._merger.homes[other] != home and not self._merger.constant_of[other]:
                    needed.setdefault(self._merger.homes[other], set()).add(self._name(other))
        return [f"from {other} import {', '.join(sorted(names))}" for other, names in sorted(needed.items())]

    def _unpack(self, writer: Writer, hubs: "list[str]") -> str:
        """The function that the image's module is imported for."""
        shapes = "".join(
            f"({self._name(symbol)}, {tuple(self._attributes.get(each, each) for each in members)!r}), "
            for symbol, members in writer.shapes
        )
        calls = ""
        for symbol, member in writer.named:
            dotted = "." + self._attributes.get(member, member) if member else ""
            calls += self._name(symbol) + dotted + ", "
        main = self._plan.name
        needed = sorted({self._name(symbol) for symbol, _ in (*writer.shapes, *writer.named)})
        lines = [f"from {main} import {', '.join(needed)}"] if needed else []
        if hubs:  # let the objects of the image before this one go, or both would be there at once
            lines += [f"import {main}", *[f"{main}.{hub} = None" for hub in hubs], "gc.collect()"]
        lines += [
            f"with open(__file__.rpartition('.')[0] + '{IMAGE}', 'rb') as source:",
            f"    made = load(source, ({shapes}), ({calls}))",
        ]
        lines += [f"{main}.{hub} = made[{i}]" for i, hub in enumerate(hubs, 1)]
        return "def unpack():\n" + "".join(f"    {line}\n" for line in [*lines, "return made[0]"])

    def _name_map(self) -> str:
        if not self._short:
            return ""
        kinds = (
            ("local", self._short.locals),
            ("global", self._short.globals),
            ("attribute", self._short.attributes),
        )
        pairs = [(kind, short, name) for kind, names in kinds for name, short in names.items()]
        return "".join(f"{kind} {short} {name}\n" for kind, short, name in sorted(pairs))


def _loader() -> ast.Module:
    """The code that puts an image together."""
    modules = Modules(("firmware",))
    modules.read(loader.__name__)
    oracle = Oracle(modules, [])

    def attempt(unsure: Unsure) -> Live:
        live = Live(modules, oracle, unsure)
        live.reach(Symbol(loader.__name__, "load"))
        live.settle()
        return live

    live = settled(attempt, Unsure())
    merger = Merger(live, dict.fromkeys(live.symbols, "loader"))
    return ast.Module(merger.imports() + merger.statements("loader"), [])


def _hot(short: Shortener) -> str:
    """Never runs; names the most used names first, so that the compiler numbers them with one byte."""
    return "__name__ == 0 and __name__." + ".".join([name for name, _ in short.uses.most_common(HOT)])
