"""What one definition refers to: symbols, attributes, names from outside; and what it may not do."""

import ast
import copy
from dataclasses import dataclass, field

from hil.bundle.guess import Guess
from hil.bundle.kinds import Kind
from hil.bundle.modules import UNKNOWABLE, Hub, Module, Modules, Outside, Symbol
from hil.bundle.scopes import Scoped

# Words of viper code and of PIO programs, which the compiler or the assembler gives a meaning.
SPECIAL = ("ptr", "ptr8", "ptr16", "ptr32", "uint", "wrap_target", "wrap", "nop")
CHANGING = ("append", "insert", "extend", "pop", "remove", "clear", "sort", "reverse", "setdefault", "update")
LOOKING = ("len", "range", "min", "max", "sum", "tuple", "list", "bytes", "bytearray", "sorted", "any", "all")
BY_NAME = ("getattr", "setattr", "hasattr", "delattr")


@dataclass
class References:
    """Found in one definition.

    `attributes`: with the kind of what they are of, None when that is not known; `stored`: those
    that it sets, or whose contents it changes; `lent`: those that it hands on; `by_name`: attributes that
    hold names by which it asks for others ("" when that is not known).
    """

    symbols: set[Symbol] = field(default_factory=set)
    late: set[Symbol] = field(default_factory=set)  # imported inside it
    attributes: "set[tuple[Kind | None, str]]" = field(default_factory=set)
    stored: "set[tuple[Kind | None, str]]" = field(default_factory=set)
    outside: set[Outside] = field(default_factory=set)
    hubs: "set[Hub]" = field(default_factory=set)
    locals: set[str] = field(default_factory=set)
    lent: "set[tuple[Kind | None, str]]" = field(default_factory=set)
    by_name: set[str] = field(default_factory=set)


class Reader(Scoped):
    """Collects the references of one definition of one module; refuses what a bundle cannot hold."""

    def __init__(self, modules: Modules, module: Module, guess: "Guess | None") -> None:
        super().__init__()
        self.found = References()
        self._guess = guess
        self._modules = modules
        self._module = module

    def seen_global(self, node: ast.Name) -> ast.expr:
        if node.id in UNKNOWABLE:
            raise self._module.refuse(node, f"'{node.id}' is used")
        meant = self._meaning(node)
        if meant is None and self._guess and self._guess.binds(node.id):
            return node  # bound where folding says that nothing comes
        if meant is None and node.id in SPECIAL:
            return node
        if meant is None:
            raise self._module.refuse(node, f"name '{node.id}' is defined nowhere")
        if isinstance(meant, Symbol):
            self.found.symbols.add(meant)
        elif isinstance(meant, Hub):
            self.found.hubs.add(meant)
        elif isinstance(meant, Outside):
            self.found.outside.add(meant)
        elif meant:
            raise self._module.refuse(node, f"module '{meant}' is used as a value")
        return node

    def seen_member(self, node: ast.Attribute) -> "ast.expr | None":
        assert isinstance(node.value, ast.Name)
        meant = self._modules.resolve(self._module, node.value.id)
        if not isinstance(meant, str) or not meant:
            return None
        if not isinstance(node.ctx, ast.Load):
            raise self._module.refuse(node, f"'{ast.unparse(node)}' is set from outside its module")
        member = self._modules.member(meant, node.attr)
        if isinstance(member, Symbol):
            self.found.symbols.add(member)
        elif isinstance(member, Outside):
            self.found.outside.add(member)
        else:
            raise self._module.refuse(node, f"'{node.attr}' is not defined in '{meant}'")
        return node

    def seen_local(self, name: str) -> str:
        self.found.locals.add(name)
        return name

    def visit_Attribute(self, node: ast.Attribute) -> ast.expr:
        if isinstance(node.ctx, ast.Store):
            self._change(node)
        if not (isinstance(node.value, ast.Name) and self._is_module(node.value)):
            kind = self._named_class(node.value) or (self._guess.of(node.value) if self._guess else None)
            self.found.attributes.add((kind, node.attr))
        return super().visit_Attribute(node)

    def visit_Delete(self, node: ast.Delete) -> ast.AST:
        for target in node.targets:
            self._change(target)
        return self.generic_visit(node)

    def visit_Return(self, node: ast.Return) -> ast.AST:
        if node.value:
            self._lend(node.value)
        return self.generic_visit(node)

    def visit_Assign(self, node: ast.Assign) -> ast.AST:
        if not isinstance(node.targets[0], ast.Name):
            self._lend(node.value)
        return self.generic_visit(node)

    def visit_Subscript(self, node: ast.Subscript) -> ast.AST:
        if isinstance(node.ctx, ast.Store):
            self._change(node.value)
        return self.generic_visit(node)

    def _change(self, node: ast.expr) -> None:
        """Something is set in the attribute that `node` is, or is a piece of."""
        holder = self._guess.holder(node) if self._guess else None
        if holder and self._guess:
            self.found.stored.add((self._guess.of(holder.value), holder.attr))

    def _lend(self, node: ast.expr) -> None:
        """What the attribute `node` holds may be changed by whoever gets it."""
        holder = self._guess.holder(node) if self._guess else None
        if holder and self._guess and not isinstance(node, ast.Subscript):
            self.found.lent.add((self._guess.of(holder.value), holder.attr))

    def _named_class(self, node: ast.expr) -> "Kind | None":
        """The class that an expression names."""
        if not isinstance(node, ast.Name) or (self.is_local(node.id) and not hasattr(node, "meant")):
            return None
        meant = self._meaning(node)
        if not isinstance(meant, Symbol):
            return None
        meaning = self._modules.all[meant.module].defined[meant.name]
        return Kind(frozenset([meant])) if isinstance(meaning, ast.ClassDef) else None

    def _meaning(self, node: ast.Name) -> "Symbol | Outside | Hub | str | None":
        meant: Symbol | Outside | Hub | None = getattr(node, "meant", None)
        return meant if meant is not None else self._modules.resolve(self._module, node.id)

    def _is_module(self, node: ast.Name) -> bool:
        if self.is_local(node.id) and not hasattr(node, "meant"):
            return False
        meant = self._meaning(node)
        return isinstance(meant, Outside) or bool(isinstance(meant, str) and meant)

    def visit_Call(self, node: ast.Call) -> ast.expr:
        if isinstance(node.func, ast.Name) and node.func.id in BY_NAME and len(node.args) > 1:
            name = node.args[1]
            if isinstance(name, ast.Constant) and isinstance(name.value, str):
                self.found.attributes.add((None, name.value))
            else:
                holder = self._guess.holder(name) if self._guess else None
                self.found.by_name.add(holder.attr if holder else "")
        if isinstance(node.func, ast.Attribute) and node.func.attr in CHANGING:
            kind = self._guess.of(node.func.value) if self._guess else None
            if kind is None or not kind.classes:  # else it is a method of our own
                self._change(node.func.value)
        if not (isinstance(node.func, ast.Name) and node.func.id in LOOKING):
            for argument in node.args:
                self._lend(argument)
        return super().visit_Call(node)

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.stmt:
        raise self._module.refuse(node, f"class '{node.name}' stands inside a function")

    def visit_AsyncFunctionDef(self, node: ast.AsyncFunctionDef) -> ast.stmt:
        raise self._module.refuse(node, f"'{node.name}' is an async function")

    def visit_Import(self, node: ast.Import) -> ast.stmt:
        if any(self._modules.own(alias.name) for alias in node.names):
            raise self._module.refuse(node, f"'{ast.unparse(node)}' inside a function")
        return super().visit_Import(node)

    def visit_ImportFrom(self, node: ast.ImportFrom) -> ast.stmt:
        if self._modules.own(node.module or ""):
            for alias in node.names:
                self.found.late.add(late_symbol(self._modules, self._module, node, alias.name))
        return super().visit_ImportFrom(node)


def references(
    modules: Modules,
    module: Module,
    node: ast.AST,
    members: "frozenset[str]" = frozenset(),
    guess: "Guess | None" = None,
) -> References:
    """The references of a function, a value or an expression; `members`: names of the class it stands in.

    Raises GameError.
    """
    reader = Reader(modules, module, guess)
    reader.in_class(members)
    reader.visit(bare(node))
    return reader.found


def late_symbol(modules: Modules, module: Module, node: ast.ImportFrom, name: str) -> Symbol:
    """What a function imports from one of our modules. Raises GameError unless it is one of its symbols."""
    modules.read(node.module or "")
    found = modules.member(node.module or "", name)
    if not isinstance(found, Symbol):
        raise module.refuse(
            node, f"'{ast.unparse(node)}' inside a function imports no function, class or value"
        )
    return found


def bare(node: ast.AST) -> ast.AST:
    """A copy without docstrings, annotations (viper and native code keeps them) and asserts."""
    found = _Bare().visit(copy.deepcopy(node))
    assert isinstance(found, ast.AST)
    return found


class _Bare(ast.NodeTransformer):
    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.FunctionDef:
        if not any(ast.unparse(each).startswith("micropython.") for each in node.decorator_list):
            node.returns = None
            for each in ast.walk(node.args):
                if isinstance(each, ast.arg):
                    each.annotation = None
        self.generic_visit(node)
        node.body = _plain(node.body)
        return node

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.ClassDef:
        self.generic_visit(node)
        node.body = _plain(node.body)
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> "ast.stmt | None":
        if node.value is None:
            return None
        return ast.copy_location(ast.Assign([node.target], self.visit(node.value)), node)

    def visit_Assert(self, node: ast.Assert) -> None:
        return None


def _plain(body: "list[ast.stmt]") -> "list[ast.stmt]":
    kept = [
        part for part in body if not (isinstance(part, ast.Expr) and isinstance(part.value, ast.Constant))
    ]
    return kept or [ast.Pass()]
