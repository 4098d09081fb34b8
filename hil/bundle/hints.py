"""Which classes a parameter or an attribute is declared to be of: its annotation, which mypy has checked."""

import ast

from hil.bundle.kinds import Kind
from hil.bundle.modules import Module, Modules, Symbol

HOLDERS = ("list", "tuple", "dict", "set", "Sequence", "Iterable", "Mapping")
GIVING_PLAIN = ("str", "int", "bool", "bytes", "bytearray", "len", "ord", "chr", "min", "max", "range", "sum")
PLAIN = ("int", "bool", "str", "bytes", "bytearray", "memoryview", "float", "array", "Callable", "object")


class Hints:
    """Reads annotations; `there` are the classes that have instances."""

    def __init__(self, modules: Modules, there: "set[Symbol]") -> None:
        self.modules = modules
        self._there = there
        self._families: dict[Symbol, Kind] = {}
        self._attributes: dict[tuple[Symbol, str], Kind | None] = {}

    def family(self, symbol: Symbol) -> Kind:
        """A class and its heirs, those that have instances."""
        if symbol not in self._families:
            heirs = {each for each in self._there if each == symbol or symbol in self.modules.bases(each)}
            self._families[symbol] = Kind(frozenset(heirs))
        return self._families[symbol]

    def parameter(self, module: Module, node: "ast.FunctionDef", name: str) -> "Kind | None":
        """What a parameter of a function is declared to be."""
        for each in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
            if each.arg == name and each.annotation:
                return self._kind(module, each.annotation)
        return None

    def result(self, module: Module, name: str) -> "Kind | None":
        """What a call of a global name gives."""
        if name in GIVING_PLAIN:
            return Kind()
        meant = self.modules.resolve(module, name)
        if not isinstance(meant, Symbol):
            return None
        node = self.modules.all[meant.module].defined[meant.name]
        if isinstance(node, ast.FunctionDef) and node.returns:
            return self._kind(self.modules.all[meant.module], node.returns)
        return self._class(meant)

    def method_result(self, holder: Kind, name: str) -> "Kind | None":
        """What calling a method of any of these classes gives; a method of Python's own types gives such."""
        found = Kind()
        for symbol in holder.classes:
            kind = self._method_result(symbol, name)
            if kind is None:
                return None
            found |= kind
        return found

    def _method_result(self, symbol: Symbol, name: str) -> "Kind | None":
        module = self.modules.all[symbol.module]
        node = module.defined.get(symbol.name)
        assert isinstance(node, ast.ClassDef)
        for part in node.body:
            if isinstance(part, ast.FunctionDef) and part.name == name:
                return self._kind(module, part.returns) if part.returns else None
        for base in self.modules.bases(symbol):
            kind = self._method_result(base, name)
            if kind is not None:
                return kind
        return None

    def attribute(self, symbol: Symbol, name: str) -> "Kind | None":
        """What an attribute of a class is where the class, or a base of it, first sets it."""
        key = (symbol, name)
        if key not in self._attributes:
            self._attributes[key] = None  # while it is looked for
            self._attributes[key] = self._declared(symbol, name)
        return self._attributes[key]

    def _declared(self, symbol: Symbol, name: str) -> "Kind | None":
        module = self.modules.all[symbol.module]
        node = module.defined.get(symbol.name)
        if not isinstance(node, ast.ClassDef):
            return None
        for method in node.body:
            if isinstance(method, ast.FunctionDef) and method.args.args:
                found = self._set_in(symbol, module, method, name)
                if found is not None:
                    return found
        for base in self.modules.bases(symbol):
            found = self.attribute(base, name)
            if found is not None:
                return found
        return None

    def _set_in(self, symbol: Symbol, module: Module, method: ast.FunctionDef, name: str) -> "Kind | None":
        for part in ast.walk(method):
            if isinstance(part, ast.AnnAssign) and _is_own(part.target, method, name):
                return self._kind(module, part.annotation)
            if isinstance(part, ast.Assign) and _is_own(part.targets[0], method, name):
                value = part.value
                if isinstance(value, ast.Name):
                    return self.parameter(module, method, value.id)
                if isinstance(value, ast.Attribute):
                    return self._chain(module, method, value)
                if isinstance(value, ast.Call) and isinstance(value.func, ast.Name):
                    return self.result(module, value.func.id)
                if isinstance(value, ast.Call) and _is_own(value.func, method, ""):
                    assert isinstance(value.func, ast.Attribute)
                    return self._method_result(symbol, value.func.attr)
                return Kind() if isinstance(value, ast.Constant) and value.value is not None else None
        return None

    def _chain(self, module: Module, method: ast.FunctionDef, node: ast.expr) -> "Kind | None":
        """What attributes of a parameter are."""
        if isinstance(node, ast.Name):
            return self.parameter(module, method, node.id)
        holder = self._chain(module, method, node.value) if isinstance(node, ast.Attribute) else None
        if holder is None or not isinstance(node, ast.Attribute):
            return None
        found = Kind()
        for symbol in holder.classes:
            kind = self.attribute(symbol, node.attr)
            if kind is None:
                return None
            found |= kind
        return found

    def _kind(self, module: Module, node: ast.expr) -> "Kind | None":
        if isinstance(node, ast.Constant):
            if isinstance(node.value, str):
                return self._kind(module, ast.parse(node.value, mode="eval").body)
            return Kind()
        if isinstance(node, ast.BinOp):
            left, right = self._kind(module, node.left), self._kind(module, node.right)
            return left | right if left is not None and right is not None else None
        if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name):
            if node.value.id in HOLDERS:
                return self._held(module, node.slice)
            return Kind() if node.value.id in PLAIN else None
        if isinstance(node, ast.Name):
            if node.id in PLAIN:
                return Kind()
            return self._class(module.hints.get(node.id) or self.modules.resolve(module, node.id))
        return None

    def _held(self, module: Module, node: ast.expr) -> "Kind | None":
        found = Kind()
        for part in node.elts if isinstance(node, ast.Tuple) else [node]:
            kind = Kind() if ast.unparse(part) == "..." else self._kind(module, part)
            if kind is None:
                return None
            found |= Kind(frozenset(), kind.classes | kind.items)
        return found

    def _class(self, meant: object) -> "Kind | None":
        if not isinstance(meant, Symbol) or meant.module not in self.modules.all:
            return None
        node = self.modules.all[meant.module].defined.get(meant.name)
        return self.family(meant) if isinstance(node, ast.ClassDef) else None


def _is_own(target: ast.expr, method: ast.FunctionDef, name: str) -> bool:
    """Whether this is `self.name`; with the name "" whether it is `self.` whatever."""
    return (
        isinstance(target, ast.Attribute)
        and target.attr == (name or target.attr)
        and isinstance(target.value, ast.Name)
        and target.value.id == method.args.args[0].arg
    )
