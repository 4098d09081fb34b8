"""Reads functions as they are reached: their statements, and the calls that stay unresolved."""

import ast
from functools import partial

from hil.checks.stack import names
from hil.checks.stack.calls import Given
from hil.checks.stack.expressions import Expressions
from hil.checks.stack.program import Comprehension, Function, is_typing
from hil.checks.stack.values import (
    OUTSIDE,
    PLAIN,
    Builtin,
    Container,
    Held,
    Instance,
    Outside,
    Running,
    Value,
)


class Flow(Expressions):
    """Follows a program from its entry on; then `edges` is its graph of calls."""

    def enter(self, function: Function) -> None:
        """Follow everything that can happen from `function` on; unresolved calls are guessed at the end."""
        self.follow(function)
        self.settle()
        while self._guess_calls():
            self.settle()

    def _guess_calls(self) -> bool:
        """Whether a call was left that nothing is known of; it can be anything from now on."""
        found = False
        for caller, node, on, called in self._calls:
            method = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            if method and not on.values and method not in names.OF_PYTHONS_TYPES:
                if self.program.defined.get(method):
                    self.guess(caller, node.lineno, f"'{ast.unparse(node.func)}'", on)
                    found = True
            elif not method and not called.values:
                self.guess(caller, node.lineno, f"'{ast.unparse(node.func)}'", called)
                found = True
        return found

    def follow(self, function: Function) -> None:
        """Read a function the first time it is reached."""
        if function in self._followed or function.kind == "start":
            return
        self._followed[function] = None
        node = function.node
        if isinstance(node, ast.Lambda):
            self.send(self.expression(node.body, function), self.frame(function).returns)
        elif isinstance(node, Comprehension):
            self._comprehension(node, function)
        else:
            self._statements(node.body, function)
            self.put(self.frame(function).returns, PLAIN)

    # Statements ------------------------------------------------------------------------------

    def _statements(self, body: list[ast.stmt], function: Function) -> None:
        for node in body:
            if not is_typing(node):
                self._statement(node, function)

    def _statement(self, node: ast.stmt, function: Function) -> None:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            self._define(node, function)
        elif isinstance(node, ast.ClassDef):
            self._define_class(node, function)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            self._import_statement(node, function)
        elif isinstance(node, ast.Assign):
            held = self._kept(node.value, function)
            for target in node.targets:
                self._assign(target, held, function)
        elif isinstance(node, ast.AnnAssign):
            if node.value:
                self._assign(node.target, self._kept(node.value, function), function)
        elif isinstance(node, ast.AugAssign):
            self._augment(node, function)
        elif isinstance(node, ast.For | ast.AsyncFor):
            self._assign(node.target, self.stepped(node.iter, function), function)
            self._statements(node.body + node.orelse, function)
        elif isinstance(node, ast.With | ast.AsyncWith):
            self._with(node, function)
        elif isinstance(node, ast.Try):
            self._try(node, function)
        elif isinstance(node, ast.Return):
            if node.value:
                self.send(self._kept(node.value, function), self.frame(function).returns)
        else:
            self._other(node, function)

    def _other(self, node: ast.stmt, function: Function) -> None:
        """If, while, expression, raise, assert, delete: their expressions, then the statements inside."""
        for each in ast.iter_child_nodes(node):
            if isinstance(each, ast.expr):
                held = self.expression(each, function)
                if isinstance(node, ast.If | ast.While | ast.Assert):
                    self._operate([held], names.TRUTH, each, function)
            elif isinstance(each, ast.stmt) and not is_typing(each):
                self._statement(each, function)

    def _define(self, node: "ast.FunctionDef | ast.AsyncFunctionDef", function: Function) -> None:
        made = self.program.functions[node]
        held = self.variable(self._scope(node.name, function), node.name)
        self.put(held, made)
        self._defaults(node.args, made, function)
        for decorator in node.decorator_list:
            name = ast.unparse(decorator)
            if name in ("staticmethod", "classmethod", "property") or name.endswith((".setter", ".deleter")):
                continue
            if not name.startswith("micropython"):
                self._decorate(decorator, made, held, function)

    def _decorate(self, node: ast.expr, made: Function, held: Held, function: Function) -> None:
        given = Held()
        self.put(given, made)
        call = Given(function, node.lineno, [given], [], {}, [], held)
        self.watch(self.expression(node, function), lambda value: self.run(value, call))

    def _define_class(self, node: ast.ClassDef, function: Function) -> None:
        made = self.program.classes[node]
        self.put(self.variable(self._scope(node.name, function), node.name), made)
        self.call(function, made.body, "body", node.lineno)
        for base in node.bases:
            self.expression(base, function)

    def _import_statement(self, node: "ast.Import | ast.ImportFrom", function: Function) -> None:
        if isinstance(node, ast.Import):
            for each in node.names:
                self.import_module(function, each.name, node.lineno)
                bound = each.name if each.asname else each.name.partition(".")[0]
                name = each.asname or bound
                self._put_module(bound, self.variable(self._scope(name, function), name))
            return
        source = self._from(node, function)
        self.import_module(function, source, node.lineno)
        for each in node.names:
            name = each.asname or each.name
            held = self.variable(self._scope(name, function), name)
            module = self.program.modules.get(source)
            inside = self.program.modules.get(f"{source}.{each.name}")
            if inside:
                self.import_module(function, inside.name, node.lineno)
                self.put(held, inside)
            elif module and module.name not in self.absent:
                self.send(self.of_module(module, each.name), held)
            else:
                self.put(held, Builtin("const") if each.name == "const" else Outside(f"{source}.{each.name}"))

    def _from(self, node: ast.ImportFrom, function: Function) -> str:
        if not node.level:
            return node.module or ""
        parts = function.module.package.split(".")
        parts = parts[: len(parts) - node.level + 1]
        return ".".join([*parts, node.module] if node.module else parts)

    def _augment(self, node: ast.AugAssign, function: Function) -> None:
        before = ast.copy_location(_loaded(node.target), node)
        left = self.expression(before, function)
        right = self._kept(node.value, function)
        stem = names.OPERATORS[type(node.op).__name__]
        result = self._operate([left, right], (f"__i{stem}__", f"__{stem}__", f"__r{stem}__"), node, function)
        self._joined([left, right], node.op, result)
        self.watch(left, lambda value: self._extended(value, right, node, function))
        self._assign(node.target, result, function)

    def _extended(self, value: Value, right: Held, node: ast.AugAssign, function: Function) -> None:
        """`list += others`."""
        if isinstance(value, Container):
            self.watch(right, lambda each: self.step(each, function, node.lineno, value.elements))

    def _with(self, node: "ast.With | ast.AsyncWith", function: Function) -> None:
        for item in node.items:
            held = self.expression(item.context_expr, function)
            result = self._operate([held], ("__enter__",), node, function)
            self._operate([held], ("__exit__",), node, function)
            self.put(result, OUTSIDE)
            if item.optional_vars:
                self._assign(item.optional_vars, result, function)
        self._statements(node.body, function)

    def _try(self, node: ast.Try, function: Function) -> None:
        self._statements(node.body, function)
        for handler in node.handlers:
            if handler.type:
                self.expression(handler.type, function)
            if handler.name:
                held = self.variable(self._scope(handler.name, function), handler.name)
                self.put(held, PLAIN)
                self.watch(self.made, partial(self._caught, held=held))
            self._statements(handler.body, function)
        self._statements(node.orelse + node.finalbody, function)

    def _caught(self, value: Value, held: Held) -> None:
        """Any error of the program's own may be caught anywhere."""
        if isinstance(value, Instance) and self.bases.is_exception(value.of):
            self.put(held, value)

    # Comprehensions --------------------------------------------------------------------------

    def _comprehended(self, node: Comprehension, function: Function) -> Held:
        made = self.program.functions[node]
        first = node.generators[0].iter
        over = self.expression(first, function)
        self.watch(over, lambda value: self.step(value, made, first.lineno, self.variable(made, ".0")))
        held = Held()
        if isinstance(node, ast.GeneratorExp):
            self.follow(made)
            self.put(held, Running(made))
            return held
        self.call(function, made, "call", node.lineno)
        result = self.container(made, node)
        self.send(self.frame(made).yields, result.elements)
        self.put(held, result)
        return held

    def _comprehension(self, node: Comprehension, made: Function) -> None:
        """The body, in a scope of its own."""
        for at, each in enumerate(node.generators):
            held = self.variable(made, ".0") if at == 0 else self.stepped(each.iter, made)
            self._assign(each.target, held, made)
            for test in each.ifs:
                self._operate([self.expression(test, made)], names.TRUTH, test, made)
        parts = [node.key, node.value] if isinstance(node, ast.DictComp) else [node.elt]
        for part in parts:
            self.send(self._kept(part, made), self.frame(made).yields)


def _loaded(target: ast.expr) -> ast.expr:
    """A target as an expression that reads it."""
    made = ast.parse(ast.unparse(target), mode="eval").body
    for node in ast.walk(made):
        if isinstance(node, ast.expr):
            ast.copy_location(node, target)
    return made
