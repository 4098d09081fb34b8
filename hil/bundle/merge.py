"""Writes what is live as the source of one module, integer constants put in place."""

import ast
import copy

from hil.bundle.constants import UNKNOWN, Constants
from hil.bundle.fold import constant
from hil.bundle.live import Live
from hil.bundle.modules import Hub, Module, Modules, Outside, Symbol
from hil.bundle.references import bare, late_symbol
from hil.bundle.scopes import Scoped


class Merger:
    """The modules of a bundle out of all that is live; `homes`: by symbol the module that it is in."""

    def __init__(self, live: Live, homes: "dict[Symbol, str]") -> None:
        self.homes = homes
        self.constants = Constants(live.modules)
        self.constant_of = {symbol: self._constant(symbol) for symbol in live.symbols}
        self.names = self._choose_names(live)
        self._live = live

    def statements(self, home: str) -> "list[ast.stmt]":
        """The definitions of one module; each has the `source` file that its line numbers are of."""
        merged: list[ast.stmt] = []
        for module in self._live.modules.all.values():
            done: set[int] = set()
            for name, node in module.defined.items():
                symbol = Symbol(module.name, name)
                if self.homes.get(symbol) != home or self.constant_of[symbol] or id(node) in done:
                    continue
                done.add(id(node))
                merged.append(self._rewritten(module, symbol, node))
                merged[-1].source = module.name.replace(".", "/") + ".py"  # type: ignore[attr-defined]
        return merged

    def imports(self) -> "list[ast.stmt]":
        """What is imported from MicroPython."""
        return [ast.parse(text).body[0] for text in sorted({each.statement for each in self._live.outside})]

    def _constant(self, symbol: Symbol) -> "ast.expr | None":
        value = self.constants.value(symbol)
        return None if value is UNKNOWN else constant(value)

    def _rewritten(self, module: Module, symbol: Symbol, node: ast.stmt) -> ast.stmt:
        if isinstance(node, ast.ClassDef):
            plain: ast.AST = bare(node)
            assert isinstance(plain, ast.ClassDef)
            plain.body = [copy.deepcopy(each) for each in self._live.kept(symbol)] or [ast.Pass()]
        else:
            plain = copy.deepcopy(self._live.folded.get(id(node)) or bare(node))
        _Rewriter(self, self._live.modules, module).visit(plain)
        if isinstance(plain, (ast.ClassDef, ast.FunctionDef)):
            plain.name = self.names[symbol]
        assert isinstance(plain, ast.stmt)
        return plain

    def _choose_names(self, live: Live) -> dict[Symbol, str]:
        """Each symbol its own name where nothing else has it, else with its module's last name before it."""
        taken = {word for each in live.outside for word in each.statement.replace(",", " ").split()}
        names: dict[Symbol, str] = {}
        for symbol in sorted(live.symbols, key=str):
            name = symbol.name
            for part in reversed(symbol.module.split(".")):
                if name not in taken and name not in live.locals:
                    break
                name = f"{part}_{name}"
            taken.add(name)
            names[symbol] = name
        return names


class _Rewriter(Scoped):
    """Puts the merged names and the constants into one definition."""

    def __init__(self, merger: Merger, modules: Modules, module: Module) -> None:
        super().__init__()
        self._merger = merger
        self._modules = modules
        self._module = module

    def seen_global(self, node: ast.Name) -> ast.expr:
        meant = getattr(node, "meant", None)
        if isinstance(meant, Hub):
            return ast.copy_location(ast.Name(meant.name, node.ctx), node)
        return self._meant(meant or self._modules.resolve(self._module, node.id), node)

    def visit_ImportFrom(self, node: ast.ImportFrom) -> ast.stmt:
        if not self._modules.own(node.module or ""):
            return super().visit_ImportFrom(node)
        symbols = [late_symbol(self._modules, self._module, node, alias.name) for alias in node.names]
        imports: list[ast.stmt] = [
            ast.ImportFrom(
                self._merger.homes[symbol],
                [ast.alias(self._merger.names[symbol], alias.asname or alias.name)],
                0,
            )
            for symbol, alias in zip(symbols, node.names, strict=True)
        ]
        return imports[0] if len(imports) == 1 else ast.If(ast.Constant(True), imports, [])

    def seen_member(self, node: ast.Attribute) -> "ast.expr | None":
        assert isinstance(node.value, ast.Name)
        meant = self._modules.resolve(self._module, node.value.id)
        if not isinstance(meant, str) or not meant:
            return None
        return self._meant(self._modules.member(meant, node.attr), ast.Name(node.attr, node.ctx))

    def _meant(self, meant: "Symbol | Outside | str | None", node: ast.Name) -> ast.expr:
        if not isinstance(meant, Symbol):
            return node
        constant = self._merger.constant_of[meant]
        if constant is not None and isinstance(node.ctx, ast.Load):
            return copy.deepcopy(constant)
        return ast.copy_location(ast.Name(self._merger.names[meant], node.ctx), node)
