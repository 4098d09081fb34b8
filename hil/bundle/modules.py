"""The modules of a bundle: read, and refused when they hold what cannot be merged."""

import ast
import builtins
import importlib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from firmware.base.errors import GameError

UNKNOWABLE = ("exec", "eval", "globals", "locals", "vars", "__import__", "__file__", "__name__")


@dataclass(frozen=True)
class Symbol:
    """A function, class or value at the top of a module."""

    module: str
    name: str

    def __str__(self) -> str:
        return f"{self.module}.{self.name}"


@dataclass(frozen=True)
class Outside:
    """A name that an import brings in from MicroPython: the statement, and the module behind it."""

    statement: str
    module: str


@dataclass(frozen=True)
class Hub:
    """An object that much code asks for, and that is a global of the bundle."""

    thing: Any
    name: str

    def __deepcopy__(self, memo: object) -> "Hub":
        return self  # a copied piece of code means the same object

    def __hash__(self) -> int:
        return hash(self.name)


@dataclass
class Module:
    """One source file; `names` says what each of its top-level names stands for.

    Calls made at import stand among `defined` under names that no code can say.
    """

    name: str
    path: Path
    defined: "dict[str, ast.stmt]" = field(default_factory=dict)
    names: "dict[str, Symbol | Outside | str]" = field(default_factory=dict)
    hints: "dict[str, Symbol]" = field(default_factory=dict)  # names imported for annotations only
    rebound: set[str] = field(default_factory=set)  # names that functions declare global
    runs: list[Symbol] = field(default_factory=list)  # calls made at import
    problem: GameError | None = None  # raised when something of this module is needed

    def refuse(self, node: ast.AST, words: str) -> GameError:
        """The error to raise about `node`; `words` go on with "which cannot be bundled"."""
        return GameError(f"{words}, which cannot be bundled", f"{self.path}:{getattr(node, 'lineno', 1)}")


class Modules:
    """Every own module that is needed, in the order in which they would be imported."""

    def __init__(self, packages: tuple[str, ...]) -> None:
        self.packages = packages
        self.all: dict[str, Module] = {}

    def own(self, name: str) -> bool:
        """Whether a module is ours to merge."""
        return name.split(".")[0] in self.packages

    def read(self, name: str) -> Module:
        """Module `name` and, before it, what it imports. Raises GameError with file and line."""
        if name in self.all:
            return self.all[name]
        path = _source(name)
        if path is None:
            raise GameError(f"module '{name}' has no source file to bundle")
        module = Module(name, path)
        tree = ast.parse(path.read_text(), str(path))
        for each in ast.walk(tree):
            if isinstance(each, ast.Global):
                module.rebound.update(each.names)
        for node in tree.body:
            try:
                self._top(module, node)
            except GameError as error:
                module.problem = module.problem or error
        self.all[name] = module
        return module

    def resolve(self, module: Module, name: str) -> "Symbol | Outside | str | None":
        """What a global name in `module` means: a symbol, an outside name, a module's name, None: unknown."""
        found = module.names.get(name)
        while isinstance(found, Symbol) and found.name not in self.all[found.module].defined:
            found = self.all[found.module].names.get(found.name)
        if found is None and not hasattr(builtins, name):
            return None
        return "" if found is None else found

    def member(self, module: str, name: str) -> "Symbol | Outside | str | None":
        """What `module.name` means, `module` being one of ours."""
        return self.resolve(self.all[module], name)

    def bases(self, symbol: Symbol) -> "set[Symbol]":
        """Every own class that the class `symbol` inherits from."""
        module = self.all[symbol.module]
        node = module.defined.get(symbol.name)
        found: set[Symbol] = set()
        if isinstance(node, ast.ClassDef):
            for base in node.bases:
                meant = self.resolve(module, base.id) if isinstance(base, ast.Name) else None
                if isinstance(meant, Symbol):
                    found |= {meant} | self.bases(meant)
        return found

    def _top(self, module: Module, node: ast.stmt) -> None:
        if isinstance(node, (ast.Import, ast.ImportFrom)):
            self._import(module, node)
        elif isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            self._definition(module, node)
        elif isinstance(node, (ast.Assign, ast.AnnAssign)):
            self._assignment(module, node)
        elif isinstance(node, ast.If) and _never_runs(node):
            for part in node.body:
                if isinstance(part, ast.ImportFrom) and self.own(part.module or ""):
                    for alias in part.names:
                        module.hints[alias.asname or alias.name] = Symbol(part.module or "", alias.name)
        elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
            name = f"line {node.lineno}"
            module.defined[name] = node
            module.runs.append(Symbol(module.name, name))
        elif not (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)):
            raise module.refuse(node, f"module '{module.name}' does more at import than define")

    def _import(self, module: Module, node: "ast.Import | ast.ImportFrom") -> None:
        if isinstance(node, ast.Import):
            for alias in node.names:
                if self.own(alias.name):
                    raise module.refuse(node, f"'import {alias.name}' (say 'from … import …')")
                statement = ast.unparse(ast.Import([alias]))
                module.names[alias.asname or alias.name] = Outside(statement, alias.name)
            return
        if node.level or node.module is None:
            raise module.refuse(node, "an import with leading dots")
        for alias in node.names:
            if alias.name == "*":
                raise module.refuse(node, f"'from {node.module} import *'")
            called = alias.asname or alias.name
            if not self.own(node.module):
                statement = ast.unparse(ast.ImportFrom(node.module, [alias], 0))
                module.names[called] = Outside(statement, node.module)
            elif _source(f"{node.module}.{alias.name}"):
                self.read(f"{node.module}.{alias.name}")
                module.names[called] = f"{node.module}.{alias.name}"
            else:
                self.read(node.module)
                module.names[called] = Symbol(node.module, alias.name)

    def _definition(self, module: Module, node: "ast.FunctionDef | ast.ClassDef") -> None:
        if node.name in module.defined:
            raise module.refuse(node, f"'{node.name}' is defined twice")
        module.defined[node.name] = node
        module.names[node.name] = Symbol(module.name, node.name)

    def _assignment(self, module: Module, node: "ast.Assign | ast.AnnAssign") -> None:
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        names: list[str] = []
        for target in targets:
            parts = target.elts if isinstance(target, ast.Tuple) else [target]
            for part in parts:
                if not isinstance(part, ast.Name):
                    raise module.refuse(node, f"'{ast.unparse(target)}' is set at import")
                names.append(part.id)
        for name in names:
            if name in module.defined:
                raise module.refuse(node, f"'{name}' is defined twice")
            if name not in ("TYPE_CHECKING", "__all__"):
                module.defined[name] = node
                module.names[name] = Symbol(module.name, name)


def _never_runs(node: ast.If) -> bool:
    """`if TYPE_CHECKING:` and `if __name__ == "__main__":`, without an else."""
    test = ast.unparse(node.test)
    return test in ("TYPE_CHECKING", "__name__ == '__main__'") and not node.orelse


def _source(name: str) -> "Path | None":
    """The file of a module; only its top package is imported, since a board's own modules cannot be."""
    top, *inside = name.split(".")
    for folder in importlib.import_module(top).__path__:
        path = Path(folder, *inside)
        for each in (path / "__init__.py", path.with_suffix(".py")):
            if each.is_file():
                return each
    return None


def check_class(module: Module, node: ast.ClassDef) -> None:
    """Raises GameError for a class that is more than methods and values."""
    if node.keywords or node.decorator_list:
        raise module.refuse(node, f"class '{node.name}' has a metaclass or a decorator")
    for base in node.bases:
        if not isinstance(base, ast.Name):
            raise module.refuse(
                base, f"class '{node.name}' names its base by '{ast.unparse(base)}', not by a name alone"
            )
    seen: set[str] = set()
    for part in node.body:
        if isinstance(part, ast.FunctionDef) and part.name in seen and not part.decorator_list:
            raise module.refuse(part, f"'{node.name}.{part.name}' is defined twice")
        if isinstance(part, ast.FunctionDef):
            seen.add(part.name)
        plain = isinstance(part, (ast.FunctionDef, ast.Pass)) or (
            isinstance(part, ast.Expr) and isinstance(part.value, ast.Constant)
        )
        if isinstance(part, ast.Assign):
            plain = len(part.targets) == 1 and isinstance(part.targets[0], ast.Name)
        if isinstance(part, ast.AnnAssign):
            plain = isinstance(part.target, ast.Name)
        if not plain:
            raise module.refuse(part, f"class '{node.name}' holds more than methods and values")
