"""Expressions and targets: what they can be, and what they call on the way."""

import ast
import builtins
from collections.abc import Callable
from functools import partial

from hil.checks.stack import names
from hil.checks.stack.builtins import Builtins
from hil.checks.stack.calls import Given
from hil.checks.stack.program import Comprehension, Function, Program
from hil.checks.stack.values import (
    PLAIN,
    Bound,
    Builtin,
    Container,
    Held,
    Instance,
    Outside,
    Running,
    Unknown,
    Value,
)

PYTHONS = frozenset(dir(builtins)) | {"const", "ptr8", "ptr16", "ptr32", "ptr", "uint"}

Reader = Callable[[ast.AST, Function], Held]  # each of the methods that read one kind of expression


class Expressions(Builtins):
    """Follows expressions; `_calls` keeps each call, to be resolved again when everything is followed."""

    def __init__(self, program: Program, game: str, absent: "frozenset[str]" = frozenset()) -> None:
        super().__init__(program, game, absent)
        self._containers: dict[tuple[Function, ast.AST | None, str], Container] = {}
        self._calls: list[tuple[Function, ast.Call, Held, Held]] = []

    # Names -----------------------------------------------------------------------------------

    def look_up(self, name: str, function: Function) -> Held:
        """The variable that a name means in a function."""
        within: Function | None = function
        while within:
            skipped = within.kind == "body" and within is not function
            if not skipped and (within.kind == "module" or name in self._bound(within)):
                break
            within = within.outer
        body = function.module.body
        within = within or body
        known = name in self._bound(within) or name in self.frame(within).names
        if within is body and not known and name in PYTHONS:
            held = Held()
            self.put(held, Builtin(name))
            return held
        return self.variable(within, name)

    def _bound(self, function: Function) -> set[str]:
        return set(self.frame(function).names) if function.kind == "module" else function.bound

    def _defaults(self, arguments: ast.arguments, made: Function, function: Function) -> None:
        wanted = [*arguments.posonlyargs, *arguments.args]
        for parameter, default in zip(reversed(wanted), reversed(arguments.defaults), strict=False):
            self.send(self._kept(default, function), self.variable(made, parameter.arg))
        for parameter, value in zip(arguments.kwonlyargs, arguments.kw_defaults, strict=True):
            if value:
                self.send(self._kept(value, function), self.variable(made, parameter.arg))

    def _scope(self, name: str, function: Function) -> Function:
        """Whose variable a name is that is bound in `function`."""
        if function.kind == "module" or name in self._bound(function):
            return function
        outer = function.outer
        while outer and outer.kind != "module":
            if outer.kind != "body" and name in self._bound(outer):
                return outer
            outer = outer.outer
        return function.module.body

    def _put_module(self, name: str, held: Held) -> None:
        module = self.program.modules.get(name)
        self.put(held, module if module else Outside(name))

    # Targets ---------------------------------------------------------------------------------

    def _assign(self, target: ast.expr, held: Held, function: Function) -> None:
        if isinstance(target, ast.Name):
            self.send(held, self.variable(self._scope(target.id, function), target.id))
        elif isinstance(target, ast.Attribute):
            on = self.expression(target.value, function)
            self.watch(on, lambda value: self.store(value, target.attr, held, function, target.lineno))
        elif isinstance(target, ast.Subscript):
            self._assign_item(target, held, function)
        elif isinstance(target, ast.Tuple | ast.List):
            for at, each in enumerate(target.elts):
                self._assign(each, self._part(held, at, len(target.elts), target, function), function)
        elif isinstance(target, ast.Starred):
            made = self.container(function, target)
            self.watch(held, lambda value: self.step(value, function, target.lineno, made.elements))
            rest = Held()
            self.put(rest, made)
            self._assign(target.value, rest, function)

    def _part(self, held: Held, at: int, count: int, target: ast.expr, function: Function) -> Held:
        """The value at one place of what is unpacked."""
        part = Held()

        def take(value: Value) -> None:
            if isinstance(value, Container) and len(value.items) == count:
                self.send(value.items[at], part)
            else:
                self.step(value, function, target.lineno, part)

        self.watch(held, take)
        return part

    def _assign_item(self, target: ast.Subscript, held: Held, function: Function) -> None:
        on = self.expression(target.value, function)
        self.expression(target.slice, function)
        given = Given(function, target.lineno, [self.anything(), held], [], {}, [], Held(), "operator")

        def put_in(value: Value) -> None:
            if isinstance(value, Container):
                self.send(held, value.elements)
            elif isinstance(value, Instance):
                self.ask_with(value, "__setitem__", given)

        self.watch(on, put_in)

    # Expressions -----------------------------------------------------------------------------

    def _kept(self, node: ast.expr, function: Function) -> Held:
        """An expression whose value is held somewhere."""
        held = self.expression(node, function)
        self.take(held)
        return held

    def expression(self, node: "ast.expr | ast.AST", function: Function) -> Held:
        """What an expression can be; what it calls is noted."""
        if isinstance(node, ast.Name):
            return self.look_up(node.id, function)
        method: Reader | None = getattr(self, f"_{type(node).__name__.lower()}", None)
        if method:
            return method(node, function)
        if isinstance(node, Comprehension):
            return self._comprehended(node, function)
        held = Held()
        self.put(held, PLAIN)
        for each in ast.iter_child_nodes(node):
            if isinstance(each, ast.expr):
                self.expression(each, function)
        return held

    def _attribute(self, node: ast.Attribute, function: Function) -> Held:
        held = Held()
        if ast.unparse(node) == "sys.modules":
            self.put(held, Outside("sys.modules"))
            return held
        on = self.expression(node.value, function)
        self.watch(on, lambda value: self.attribute(value, node.attr, function, node.lineno, held))
        return held

    def _subscript(self, node: ast.Subscript, function: Function) -> Held:
        held = Held()
        on = self.expression(node.value, function)
        self.expression(node.slice, function)
        at = node.slice.value if isinstance(node.slice, ast.Constant) else None
        whole = isinstance(node.slice, ast.Slice)

        def take(value: Value) -> None:
            if (
                isinstance(value, Container)
                and isinstance(at, int)
                and -len(value.items) <= at < len(value.items)
            ):
                self.send(value.items[at], held)
            elif isinstance(value, Container):
                self.put(held, value) if whole else self.send(value.elements, held)
            elif isinstance(value, Instance):
                self.ask(value, ("__getitem__", "__delitem__"), function, node.lineno, "operator", held)
            elif isinstance(value, Outside) and value.name == "sys.modules":
                self._module_by_name(node, held)
            else:
                self.put(held, value if isinstance(value, Unknown | Outside) else PLAIN)

        self.watch(on, take)
        return held

    def _module_by_name(self, node: ast.Subscript, held: Held) -> None:
        text = node.slice.value if isinstance(node.slice, ast.Constant) else None
        if isinstance(text, str):
            self._put_module(text, held)
        else:
            for module in self.game_modules():
                self.put(held, module)

    def _call(self, node: ast.Call, function: Function) -> Held:
        result = Held()
        places = [self._kept(each, function) for each in node.args if not isinstance(each, ast.Starred)]
        starred = [self._kept(each.value, function) for each in node.args if isinstance(each, ast.Starred)]
        named = {each.arg: self._kept(each.value, function) for each in node.keywords if each.arg}
        spread = [self._kept(each.value, function) for each in node.keywords if not each.arg]
        kind = "starred" if starred or spread else "call"
        given = Given(function, node.lineno, places, starred, named, spread, result, kind, node)
        if isinstance(node.func, ast.Attribute):
            self._call_method(node, node.func, given)
        else:
            called = self.expression(node.func, function)
            self.watch(called, lambda value: self.run(value, _held(value, given)))
            self._calls.append((function, node, Held(), called))
        return result

    def _call_method(self, node: ast.Call, func: ast.Attribute, given: Given) -> None:
        on = self.expression(func.value, given.caller)
        self._calls.append((given.caller, node, on, Held()))

        def ask(value: Value) -> None:
            found = Held()
            self.attribute(value, func.attr, given.caller, node.lineno, found)
            held_there = {each for each in (self._held_in(value, func.attr)) if each}

            def run(each: Value) -> None:
                bound = any(each in held.values for held in held_there)
                self.run(each, _held(each, given) if bound else given)

            self.watch(found, run)

        self.watch(on, ask)

    def _held_in(self, value: Value, name: str) -> list[Held]:
        return [self.field(value.of, name)] if isinstance(value, Instance) else []

    def _lambda(self, node: ast.Lambda, function: Function) -> Held:
        made = self.program.functions[node]
        self._defaults(node.args, made, function)
        held = Held()
        self.put(held, made)
        return held

    def _ifexp(self, node: ast.IfExp, function: Function) -> Held:
        self._operate([self.expression(node.test, function)], names.TRUTH, node, function)
        return self._any_of([node.body, node.orelse], function)

    def _boolop(self, node: ast.BoolOp, function: Function) -> Held:
        held = self._any_of(node.values, function)
        self._operate([held], names.TRUTH, node, function)
        return held

    def _namedexpr(self, node: ast.NamedExpr, function: Function) -> Held:
        held = self._kept(node.value, function)
        self._assign(node.target, held, function)
        return held

    def _any_of(self, nodes: list[ast.expr], function: Function) -> Held:
        held = Held()
        for each in nodes:
            self.send(self.expression(each, function), held)
        return held

    def _binop(self, node: ast.BinOp, function: Function) -> Held:
        sides = [self.expression(node.left, function), self.expression(node.right, function)]
        stem = names.OPERATORS[type(node.op).__name__]
        held = self._operate(sides, (f"__{stem}__", f"__r{stem}__", *names.WORDS), node, function)
        self._joined(sides, node.op, held)
        return held

    def _joined(self, sides: list[Held], op: ast.operator, into: Held) -> None:
        """Containers that an operator makes one of."""
        for side in sides if type(op).__name__ in names.JOINS else ():
            self.watch(side, lambda value: self.put(into, value) if isinstance(value, Container) else None)

    def _unaryop(self, node: ast.UnaryOp, function: Function) -> Held:
        held = self.expression(node.operand, function)
        methods = (*names.TRUTH, "__neg__", "__pos__", "__invert__")
        return self._operate([held], methods, node, function)

    def _compare(self, node: ast.Compare, function: Function) -> Held:
        sides = [self.expression(each, function) for each in (node.left, *node.comparators)]
        inside = any(isinstance(op, ast.In | ast.NotIn) for op in node.ops)
        methods = (*names.COMPARES, "__contains__", *names.STEPS) if inside else names.COMPARES
        if inside:
            for side in sides:
                self.watch(side, lambda value: self._compared_within(value, node, function))
        if all(isinstance(op, ast.Is | ast.IsNot) for op in node.ops):
            return self.anything()
        return self._operate(sides, methods, node, function)

    def _compared_within(self, value: Value, node: ast.Compare, function: Function) -> None:
        if isinstance(value, Container):
            self._operate([value.elements], ("__eq__",), node, function)
        elif isinstance(value, Running):
            self.step(value, function, node.lineno, Held())

    def _operate(
        self, sides: list[Held], methods: "tuple[str, ...]", node: "ast.expr | ast.stmt", function: Function
    ) -> Held:
        """What an operator gives: a plain value, or what a method of an object on either side does."""
        result = self.anything()
        for at, side in enumerate(sides):
            other = sides[1 - at] if len(sides) == 2 else self.anything()
            given = Given(function, node.lineno, [other], [], {}, [], result, "operator")
            for method in methods:
                self.watch(side, partial(self._if_object, method=method, given=given))
        return result

    def _if_object(self, value: Value, method: str, given: Given) -> None:
        if isinstance(value, Instance):
            self.ask_with(value, method, given)

    def _list(self, node: "ast.List | ast.Tuple | ast.Set", function: Function) -> Held:
        made = self.container(function, node)
        for each in node.elts:
            if isinstance(each, ast.Starred):
                held = self.stepped(each.value, function)
            else:
                held = self._kept(each, function)
            if isinstance(node, ast.Tuple):
                made.items.append(held)
            self.send(held, made.elements)
        result = Held()
        self.put(result, made)
        return result

    _tuple = _set = _list

    def _dict(self, node: ast.Dict, function: Function) -> Held:
        made = self.container(function, node)
        for each in (*node.keys, *node.values):
            if each:
                self.send(self._kept(each, function), made.elements)
        result = Held()
        self.put(result, made)
        return result

    def _formattedvalue(self, node: ast.FormattedValue, function: Function) -> Held:
        return self._operate([self.expression(node.value, function)], names.WORDS, node, function)

    def _yield(self, node: ast.Yield, function: Function) -> Held:
        if node.value:
            self.send(self._kept(node.value, function), self.frame(function).yields)
        return self.frame(function).sent

    def _yieldfrom(self, node: ast.YieldFrom, function: Function) -> Held:
        self.send(self.stepped(node.value, function), self.frame(function).yields)
        return self.anything()

    def _starred(self, node: ast.Starred, function: Function) -> Held:
        return self.stepped(node.value, function)

    def stepped(self, node: ast.expr, function: Function) -> Held:
        """The items that iterating over an expression gives."""
        held = Held()
        self.watch(
            self.expression(node, function), lambda value: self.step(value, function, node.lineno, held)
        )
        return held

    # Containers by their place ---------------------------------------------------------------

    def _comprehended(self, node: Comprehension, function: Function) -> Held:
        raise NotImplementedError

    def container(self, function: Function, node: "ast.AST | None", name: str = "") -> Container:
        """The container that this place in the source makes."""
        key = (function, node, name)
        if key not in self._containers:
            self._containers[key] = Container(self.anything())  # it may be empty
        return self._containers[key]

    def made_at(self, given: Given, name: str) -> Container:
        """The container that a call gives: one by the place of the call."""
        return self.container(given.caller, given.node, name)

    def written_at(self, given: Given, place: int) -> list[str]:
        """The literal text at a place of the call; none when it is made while running."""
        node = given.node
        if isinstance(node, ast.Call) and len(node.args) > place:
            word = node.args[place]
            if isinstance(word, ast.Constant) and isinstance(word.value, str):
                return [word.value]
        return []


def _held(value: Value, given: Given) -> Given:
    """The call of what was held as a value: a bound method takes more than one that is looked up."""
    return given.of_kind("bound") if isinstance(value, Bound) else given
