"""Puts into code what the images say for certain: constants, objects that much code needs, short methods.

`self._cue.play()` of a feature whose cue is number 5 becomes `cues.play(5)`, with `cues` a global: neither
the feature's attribute nor the Cue is needed on the board. What a constant condition rules out goes.
"""

import ast
import copy
from typing import Any

from hil.bundle.exact import UNKNOWN, Exact, class_of, is_plain, is_something
from hil.bundle.guess import Facts, Guess
from hil.bundle.image import key_of
from hil.bundle.kinds import Kind
from hil.bundle.modules import Hub, Module, Outside, Symbol
from hil.bundle.references import bare
from hil.bundle.scopes import Scoped

NESTED = 5  # methods within methods
LARGER = 4  # so many nodes may a call's replacement have more than the call


class Fold(Scoped):
    """Folds one function, or the body of a method of `own`."""

    def __init__(self, facts: Facts, module: Module, guess: Guess, own: Any, depth: int = 0) -> None:
        super().__init__()
        self._facts = facts
        self._module = module
        self._exact = Exact(facts, guess, own)
        self._depth = depth

    # Names ---------------------------------------------------------------------------------------

    def seen_global(self, node: ast.Name) -> ast.expr:
        if self._depth and getattr(node, "meant", None) is None:
            meant = self._facts.modules.resolve(self._module, node.id)
            if isinstance(meant, (Symbol, Outside)):
                return named(node.id, meant)
        return node

    def seen_member(self, node: ast.Attribute) -> "ast.expr | None":
        assert isinstance(node.value, ast.Name)
        meant = self._facts.modules.resolve(self._module, node.value.id)
        if not isinstance(meant, str) or not meant:
            return None
        member = self._facts.modules.member(meant, node.attr)
        return named(node.attr, member) if self._depth and isinstance(member, (Symbol, Outside)) else node

    # Values --------------------------------------------------------------------------------------

    def visit_Attribute(self, node: ast.Attribute) -> ast.expr:
        if isinstance(node.ctx, ast.Load):
            found = self._replaced(node)
            if found is not None:
                return found
        return super().visit_Attribute(node)

    def visit_Subscript(self, node: ast.Subscript) -> ast.AST:
        if isinstance(node.ctx, ast.Load):
            thing = self._exact.of(node)
            if thing is not UNKNOWN and is_plain(thing):
                return constant(thing)
        return self.generic_visit(node)

    def _replaced(self, node: ast.Attribute) -> "ast.expr | None":
        thing = self._exact.of(node)
        if thing is UNKNOWN:
            holder = self._exact.of(node.value)
            if is_something(holder):
                return self._short(holder, node.attr, [], node, True)
            return None
        if is_plain(thing):
            return constant(thing)
        key = key_of(thing)
        if class_of(thing) in self._facts.oracle.classes:
            self._facts.asked[key] = self._facts.asked.get(key, 0) + 1
        hub = self._facts.hubs.get(key)
        return named(hub.name, hub) if hub else None

    # Calls ---------------------------------------------------------------------------------------

    def visit_Call(self, node: ast.Call) -> ast.expr:
        before = size(node)
        if isinstance(node.func, ast.Attribute) and not node.keywords:
            holder = self._exact.of(node.func.value)
            if is_something(holder) and not any(isinstance(each, ast.Starred) for each in node.args):
                arguments = [self.visit(copy.deepcopy(each)) for each in node.args]
                found = self._short(holder, node.func.attr, arguments, node, False)
                if found is not None and size(found) <= before + LARGER:
                    return found
        if isinstance(node.func, ast.Attribute):
            node.func.value = self.visit(node.func.value)  # the method itself stays a method
            node.args = [self.visit(each) for each in node.args]
            for keyword in node.keywords:
                keyword.value = self.visit(keyword.value)
            return node
        return super().visit_Call(node)

    def _short(
        self, thing: Any, name: str, arguments: "list[ast.expr]", node: ast.expr, is_property: bool
    ) -> "ast.expr | None":
        """What a method of one expression comes to, for this object and these arguments."""
        if class_of(thing) not in self._facts.oracle.classes or name in vars(thing):
            return None
        found = self._facts.method(class_of(thing), name)
        if found is None or self._depth >= NESTED:
            return None
        symbol, method = found
        if is_property != bool(method.decorator_list) or (
            is_property and ast.unparse(method.decorator_list[0]) != "property"
        ):
            return None
        plain = bare(method)
        assert isinstance(plain, ast.FunctionDef)
        values = _bind(plain, arguments)
        if values is None or len(plain.body) != 1 or not isinstance(plain.body[0], (ast.Return, ast.Expr)):
            return None
        if plain.body[0].value is None:
            return None
        module = self._facts.modules.all[symbol.module]
        guess = Guess(self._facts, module, symbol, Kind(), method)
        inner = Fold(self._facts, module, guess, thing, self._depth + 1)
        inner.enter(method, values)
        result: ast.expr = inner.visit(copy.deepcopy(plain.body[0].value))
        return _filled(result, method, values)

    def enter(self, method: ast.FunctionDef, values: "dict[str, ast.expr]") -> None:
        """What follows stands in the body of `method`; constants among its arguments are known."""
        self._scopes.append({each.arg for each in method.args.args})
        self._exact.values = values

    def visit_Name(self, node: ast.Name) -> ast.expr:
        value = self._exact.values.get(node.id) if getattr(node, "meant", None) is None else None
        if isinstance(value, ast.Constant) and isinstance(node.ctx, ast.Load):
            return value
        return super().visit_Name(node)

    # Conditions ----------------------------------------------------------------------------------

    def visit_Compare(self, node: ast.Compare) -> ast.expr:
        if len(node.ops) == 1 and isinstance(node.ops[0], (ast.Is, ast.IsNot)):
            right = node.comparators[0]
            if isinstance(right, ast.Constant) and right.value is None:
                thing = self._exact.of(node.left)
                if thing is not UNKNOWN:
                    return ast.Constant((thing is None) == isinstance(node.ops[0], ast.Is))
        self.generic_visit(node)
        sides = [node.left, *node.comparators]
        if all(isinstance(each, ast.Constant) and isinstance(each.value, int) for each in sides):
            return ast.Constant(bool(eval(ast.unparse(node))))
        return node

    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.expr:
        self.generic_visit(node)
        if isinstance(node.op, ast.Not) and isinstance(node.operand, ast.Constant):
            return ast.Constant(not node.operand.value)
        return node

    def visit_BoolOp(self, node: ast.BoolOp) -> ast.expr:
        self.generic_visit(node)
        stops = isinstance(node.op, ast.Or)
        values = list(node.values)
        while len(values) > 1 and isinstance(values[0], ast.Constant):
            if bool(values[0].value) == stops:
                return values[0]
            values.pop(0)
        node.values = values
        return node if len(values) > 1 else values[0]

    def visit_IfExp(self, node: ast.IfExp) -> ast.expr:
        self.generic_visit(node)
        if isinstance(node.test, ast.Constant):
            return node.body if node.test.value else node.orelse
        return node

    def visit_If(self, node: ast.If) -> "ast.AST | list[ast.stmt]":
        test: ast.expr = self.visit(node.test)
        if isinstance(test, ast.Constant):
            return self.visit_all(node.body if test.value else node.orelse) or ast.Pass()
        node.test = test
        node.body, node.orelse = self.visit_all(node.body), self.visit_all(node.orelse)
        return node


def named(name: str, meant: "Symbol | Outside | Hub") -> ast.Name:
    """A name whose meaning does not hang on where it stands."""
    node = ast.Name(name, ast.Load())
    node.meant = meant  # type: ignore[attr-defined]
    return node


def constant(value: Any) -> ast.expr:
    """The expression that stands for a plain constant."""
    if isinstance(value, int) and not isinstance(value, bool) and value < 0:
        return ast.UnaryOp(ast.USub(), ast.Constant(-value))
    return ast.Constant(value)


def size(node: ast.AST) -> int:
    """How many names, attributes, calls and constants there are in an expression."""
    kinds = (ast.Name, ast.Attribute, ast.Call, ast.Constant)
    return sum(isinstance(each, kinds) for each in ast.walk(node))


def _bind(method: ast.FunctionDef, arguments: "list[ast.expr]") -> "dict[str, ast.expr] | None":
    """Argument by parameter, the first one left out; None when they do not fit simply."""
    given = method.args
    if given.vararg or given.kwarg or given.kwonlyargs or given.posonlyargs or not given.args:
        return None
    names = [each.arg for each in given.args[1:]]
    missing = len(names) - len(arguments)
    if not 0 <= missing <= len(given.defaults):
        return None
    defaults = given.defaults[len(given.defaults) - missing :]
    if not all(isinstance(each, (ast.Constant, ast.UnaryOp)) for each in defaults):
        return None
    return dict(zip(names, [*arguments, *defaults], strict=True))


def _filled(result: ast.expr, method: ast.FunctionDef, values: "dict[str, ast.expr]") -> "ast.expr | None":
    """The arguments put in; None when `self` is still needed, or what is evaluated when would change."""
    own = method.args.args[0].arg
    uses: dict[str, int] = {}
    for each in ast.walk(result):
        if isinstance(each, (ast.Lambda, ast.ListComp, ast.GeneratorExp, ast.DictComp, ast.Yield)):
            return None
        if isinstance(each, ast.Name) and getattr(each, "meant", None) is None:
            if each.id == own:
                return None
            uses[each.id] = uses.get(each.id, 0) + 1
    busy = [name for name, value in values.items() if not isinstance(value, (ast.Constant, ast.Name))]
    calls = sum(isinstance(each, ast.Call) for each in ast.walk(result))
    if len(busy) > 1 or (busy and (uses.get(busy[0]) != 1 or calls > 1)):
        return None
    return _Fill(values).visit(result)  # type: ignore[no-any-return]


class _Fill(ast.NodeTransformer):
    def __init__(self, values: "dict[str, ast.expr]") -> None:
        self._values = values

    def visit_Name(self, node: ast.Name) -> ast.expr:
        if getattr(node, "meant", None) is None and node.id in self._values:
            return copy.deepcopy(self._values[node.id])
        return node
