"""Values that can stand where their name stood: integers, True, False and None, never set again."""

import ast
import operator
from typing import Any

from hil.bundle.modules import Module, Modules, Symbol

UNKNOWN: Any = object()
ARITHMETIC = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.FloorDiv: operator.floordiv,
    ast.Mod: operator.mod,
    ast.LShift: operator.lshift,
    ast.RShift: operator.rshift,
    ast.BitOr: operator.or_,
    ast.BitAnd: operator.and_,
    ast.BitXor: operator.xor,
}


class Constants:
    """The values of names at the top of modules, as far as they are literals and integer arithmetic."""

    def __init__(self, modules: Modules) -> None:
        self._modules = modules
        self._known: dict[Symbol, Any] = {}

    def value(self, symbol: Symbol) -> Any:
        """The value of a symbol, or UNKNOWN."""
        if symbol not in self._known:
            self._known[symbol] = UNKNOWN  # while it is looked for
            module = self._modules.all[symbol.module]
            if symbol.name in module.rebound:
                return UNKNOWN
            self._known[symbol] = self._at_top(module, module.defined[symbol.name], symbol.name)
        return self._known[symbol]

    def _at_top(self, module: Module, node: ast.stmt, name: str) -> Any:
        if isinstance(node, ast.AnnAssign) and node.value is not None:
            return self._of(module, node.value)
        if not isinstance(node, ast.Assign):
            return UNKNOWN
        target = node.targets[0]
        if not isinstance(target, ast.Tuple):
            return self._of(module, node.value)
        names = [each.id for each in target.elts if isinstance(each, ast.Name)]
        values: list[Any] = [UNKNOWN] * len(names)
        if isinstance(node.value, ast.Tuple):
            values = [self._of(module, each) for each in node.value.elts]
        elif isinstance(node.value, ast.Call) and ast.unparse(node.value.func) == "range":
            bounds = [self._of(module, each) for each in node.value.args]
            values = values if UNKNOWN in bounds else list(range(*bounds))
        # All or none: a statement that sets several names is left out as a whole or not at all.
        return UNKNOWN if UNKNOWN in values else values[names.index(name)]

    def _of(self, module: Module, node: ast.expr) -> Any:
        if isinstance(node, ast.Constant):
            return node.value if node.value is None or isinstance(node.value, int) else UNKNOWN
        if isinstance(node, ast.BinOp) and type(node.op) in ARITHMETIC:
            left, right = self._of(module, node.left), self._of(module, node.right)
            if isinstance(left, int) and isinstance(right, int):
                return ARITHMETIC[type(node.op)](left, right)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            value = self._of(module, node.operand)
            return -value if isinstance(value, int) else UNKNOWN
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "const":
            return self._of(module, node.args[0])
        meant: object = None
        if isinstance(node, ast.Name):
            meant = self._modules.resolve(module, node.id)
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            holder = self._modules.resolve(module, node.value.id)
            meant = self._modules.member(holder, node.attr) if isinstance(holder, str) and holder else None
        return self.value(meant) if isinstance(meant, Symbol) else UNKNOWN
