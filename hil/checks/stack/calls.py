"""Attributes and calls: what `a.b` and `f(…)` reach, for each value that `a` and `f` can be."""

import ast
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from hil.checks.stack import names
from hil.checks.stack.program import Class, Function, Module, Program
from hil.checks.stack.store import Store
from hil.checks.stack.values import (
    OUTSIDE,
    PLAIN,
    UNKNOWN,
    Bound,
    Builtin,
    Container,
    Held,
    Instance,
    Outside,
    Plain,
    Running,
    Super,
    Unknown,
    Value,
)

ANY_NAME = "*"
FIND = "RuleContext.find"
"""Gives the feature that is called so, and no other."""
_ASKED = frozenset(names.ASKED_BY_PYTHON)


@dataclass(eq=False)
class Given:
    """One call as it is written: who calls, where, and with what."""

    caller: Function
    line: int
    places: list[Held]
    starred: list[Held]
    named: dict[str, Held]
    spread: list[Held]
    result: Held
    kind: str = "call"
    node: ast.AST | None = None
    """Where it is written; None when Python calls by itself."""

    @property
    def everything(self) -> list[Held]:
        """All that is given."""
        return [*self.places, *self.starred, *self.named.values(), *self.spread]

    def of_kind(self, kind: str) -> "Given":
        """The same, called in another way."""
        made = Given(**vars(self))
        made.kind = kind
        return made


class Calls(Store):
    """Resolves attributes and calls."""

    def __init__(self, program: Program, game: str, absent: "frozenset[str]" = frozenset()) -> None:
        super().__init__(program, game, absent)
        self._ran: set[tuple[object, str, Value]] = set()
        self._used: set[object] = set()
        self._askables: dict[Held, Held] = {}
        self._asking = {
            each: not _ASKED.isdisjoint(name for of in self.bases.order(each) for name in of.methods)
            for each in program.classes.values()
        }

    # Attributes ------------------------------------------------------------------------------

    def attribute(self, value: Value, name: str, caller: Function, line: int, into: Held) -> None:
        """`into` can be what the attribute `name` of `value` is."""
        if isinstance(value, Instance):
            self._of_instance(value, name, caller, line, into)
        elif isinstance(value, Class):
            self._of_class_itself(value, name, into)
        elif isinstance(value, Module):
            self.send(self.of_module(value, name), into)
        elif isinstance(value, Super):
            self._of_bases(value, name, caller, line, into)
        elif isinstance(value, Unknown):
            self._of_anything(name, caller, line, into)
        elif isinstance(value, Outside):
            self.put(into, OUTSIDE)
        elif isinstance(value, Container | Running):
            self.put(into, Builtin(name, value))
        elif isinstance(value, Plain | Builtin):
            self.put(into, Builtin(name))

    def _of_instance(self, value: Instance, name: str, caller: Function, line: int, into: Held) -> None:
        if name == "__class__":
            self.put(into, value.of)
        self.send(self.field(value.of, name), into)
        self.send(self.field(value.of, ANY_NAME), into)
        for given in self.given_to_class(value.of, name):
            self.watch(given, lambda found: self._bind(found, value, caller, line, into))
        held = self.in_body(value.of, name)
        if held:
            self.watch(held, lambda found: self._bind(found, value, caller, line, into))
        else:
            asked = self.in_body(value.of, "__getattr__")
            if asked:
                self.ask(value, ("__getattr__",), caller, line, "property", into)

    def _bind(self, found: Value, to: Instance, caller: Function, line: int, into: Held) -> None:
        if not isinstance(found, Function):
            self.put(into, found)
        elif found.kind == "property":
            self.run(Bound(found, to), Given(caller, line, [], [], {}, [], into, "property"))
        elif found.kind == "static":
            self.put(into, found)
        elif found.kind == "class":
            self.put(into, Bound(found, to.of))
        else:
            self.put(into, Bound(found, to))

    def _of_class_itself(self, value: Class, name: str, into: Held) -> None:
        held = self.in_body(value, name)
        for each in (*self.given_to_class(value, name), *((held,) if held else ())):
            self.watch(each, lambda found: self.put(into, self._from_class(found, value)))

    def _from_class(self, found: Value, value: Class) -> Value:
        return Bound(found, value) if isinstance(found, Function) and found.kind == "class" else found

    def _of_bases(self, value: Super, name: str, caller: Function, line: int, into: Held) -> None:
        for base in self.bases.order(value.behind)[1:]:
            held = self.frame(base.body).names.get(name)
            if held:
                self.watch(held, lambda found: self._bind_super(found, value, caller, line, into))
                return
        self.put(into, Builtin(name))

    def _bind_super(self, found: Value, value: Super, caller: Function, line: int, into: Held) -> None:
        if isinstance(value.to, Instance):
            self._bind(found, value.to, caller, line, into)
        elif isinstance(found, Function) and found.kind == "class":
            self.put(into, Bound(found, value.to))
        else:
            self.put(into, found)

    def _of_anything(self, name: str, caller: Function, line: int, into: Held) -> None:
        """By name alone: of every object that there is, and of the game's modules."""

        def look(value: Value) -> None:
            assert isinstance(value, Instance)
            known = self.in_body(value.of, name) is not None
            if known or self.has_field(value.of, name):
                self._of_instance(value, name, caller, line, into)

        self.watch(self.made, look)
        for module in self.program.modules.values():
            if module.name.startswith(self.game) and name in self.frame(module.body).names:
                self.send(self.of_module(module, name), into)
        if not into.values:
            self.put(into, UNKNOWN)

    def of_module(self, module: Module, name: str) -> Held:
        """What a name of a module is, or the module within it."""
        inside = self.program.modules.get(f"{module.name}.{name}")
        held = self.variable(module.body, name)
        if inside:
            self.put(held, inside)
        return held

    def store(self, value: Value, name: str, what: Held, caller: Function, line: int) -> None:
        """`value.name = what`."""
        if isinstance(value, Instance):
            self.send(what, self.field(value.of, name))
            held = self.in_body(value.of, name)
            if held:
                self.watch(held, lambda found: self._set_property(found, value, what, caller, line))
            self.ask(value, ("__setattr__",), caller, line, "property", Held())
        elif isinstance(value, Class):
            self.send(what, self.given_to_class(value, name)[0])
        elif isinstance(value, Module):
            self.send(what, self.variable(value.body, name))
        elif isinstance(value, Unknown):
            self.watch(self.made, lambda each: self.store(each, name, what, caller, line))

    def _set_property(self, found: Value, to: Instance, what: Held, caller: Function, line: int) -> None:
        if isinstance(found, Function) and found.kind == "property":
            self.run(Bound(found, to), Given(caller, line, [what], [], {}, [], Held(), "property"))

    # What Python asks of an object by itself ---------------------------------------------------

    def ask(
        self, value: Value, methods: "tuple[str, ...]", caller: Function, line: int, kind: str, into: Held
    ) -> None:
        """Python calls these methods of `value`, where its class has them; so may it step a generator."""
        if isinstance(value, Instance):
            for method in methods:
                held = self.in_body(value.of, method)
                if held:
                    given = Given(caller, line, [self.anything()], [], {}, [], into, kind)
                    self.watch(held, partial(self._asked, value=value, given=given))

    def _asked(self, found: Value, value: Instance, given: Given) -> None:
        if isinstance(found, Function):
            self.run(Bound(found, value), given)

    def anything(self) -> Held:
        """A plain argument."""
        held = Held()
        self.put(held, PLAIN)
        return held

    def step(self, value: Value, caller: Function, line: int, into: Held) -> None:
        """Iterate over `value`; `into` can be each of its items."""
        if isinstance(value, Container):
            self.send(value.elements, into)
        elif isinstance(value, Running):
            self.call(caller, value.function, "generator", line)
            self.send(self.frame(value.function).yields, into)
        elif isinstance(value, Instance):
            steps = Held()
            self.ask(value, ("__iter__",), caller, line, "operator", steps)
            self.watch(steps, lambda each: self.step(each, caller, line, into))
            self.ask(value, ("__next__", "__getitem__"), caller, line, "operator", into)
        else:
            self.put(into, value if isinstance(value, Unknown | Outside) else PLAIN)

    # Calls -----------------------------------------------------------------------------------

    def run(self, value: Value, given: Given) -> None:
        """Call `value`."""
        key = (given.node or given, given.kind, value)
        if key in self._ran:
            return
        self._ran.add(key)
        if isinstance(value, Function):
            self._enter(value, given, given.places)
        elif isinstance(value, Bound):
            held = Held()
            self.put(held, value.to)
            self._enter(value.function, given, [held, *given.places])
        elif isinstance(value, Class):
            self._make(value, given)
        elif isinstance(value, Instance):
            self.ask_with(value, "__call__", given.of_kind("object"))
        elif isinstance(value, Builtin):
            self.builtin(value, given)
        elif isinstance(value, Outside):
            self._hand_out(given)
        elif isinstance(value, Unknown):
            self.watch(self.taken, lambda each: self.run(each, given))
            self.put(given.result, UNKNOWN)

    def ask_with(self, value: Instance, method: str, given: Given) -> None:
        """Call a method of the object with all that is given."""
        held = self.in_body(value.of, method)
        if held:
            self.watch(held, lambda found: self._asked(found, value, given))

    def _enter(self, function: Function, given: Given, places: list[Held]) -> None:
        self.bind(function, given, places)
        frame = self.frame(function)
        if function.yields and not isinstance(function.node, ast.GeneratorExp):
            self.follow(function)
            self.put(given.result, Running(function))
            return
        self.call(given.caller, function, given.kind, given.line)
        if function.path == FIND and self.written_at(given, 0):
            self._found(frame.returns, self.written_at(given, 0)[0], given.result)
        else:
            self.send(frame.returns, given.result)

    def _found(self, features: Held, name: str, into: Held) -> None:
        """Of the features that `find` can give, those of that name."""

        def named(value: Value) -> None:
            if not isinstance(value, Instance) or self.bases.text(value.of, "name") in (name, None):
                self.put(into, value)

        self.watch(features, named)

    def bind(self, function: Function, given: Given, places: list[Held]) -> None:
        """Arguments into parameters."""
        if not isinstance(function.node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            return
        wanted = function.parameters
        for name, held in zip(wanted, places, strict=False):
            self.send(held, self.variable(function, name))
        arguments = function.node.args
        for starred in given.starred:
            for name in wanted[len(places) :]:
                self.watch(starred, self._stepping(given, self.variable(function, name)))
        known = {*wanted, *(each.arg for each in arguments.kwonlyargs)}
        for name, held in given.named.items():
            if name in known:
                self.send(held, self.variable(function, name))
        for spread in given.spread:
            for name in known:
                self.watch(spread, self._stepping(given, self.variable(function, name)))
        if arguments.vararg:
            rest = self.container(function, arguments.vararg)
            for held in places[len(wanted) :]:
                self.send(held, rest.elements)
            for starred in given.starred:
                self.watch(starred, self._stepping(given, rest.elements))
            self.put(self.variable(function, arguments.vararg.arg), rest)
        if arguments.kwarg:
            rest = self.container(function, arguments.kwarg)
            for held in (*given.named.values(), *given.spread):
                self.send(held, rest.elements)
            self.put(self.variable(function, arguments.kwarg.arg), rest)

    def _stepping(self, given: Given, into: Held) -> "Callable[[Value], None]":
        return lambda value: self.step(value, given.caller, given.line, into)

    def _make(self, value: Class, given: Given) -> None:
        made = self.make(value)
        self.put(given.result, made)
        self.ask_with(made, "__init__", given.of_kind("making"))
        held = self.in_body(value, "__new__")
        if held:
            self.watch(held, lambda found: self._new(found, value, given))

    def _new(self, found: Value, value: Class, given: Given) -> None:
        if isinstance(found, Function):
            first = Held()
            self.put(first, value)
            self._enter(found, given.of_kind("making"), [first, *given.places])

    def _hand_out(self, given: Given) -> None:
        """A call of something outside: it may call back later what it is given."""
        self.put(given.result, OUTSIDE)
        for held in given.everything:
            self.watch(held, self._handed_out)
        self.given_to_python(given)

    def _handed_out(self, value: Value) -> None:
        function = value.function if isinstance(value, Bound) else value
        if isinstance(function, Function):
            self.handed_out[function] = None

    def given_to_python(self, given: Given, asks: "tuple[str, ...]" = names.ASKED_BY_PYTHON) -> None:
        """Python's own functions may step, compare, measure and print what they are given."""
        key = (given.node or given, asks)
        if key in self._used:
            return
        self._used.add(key)
        for held in given.everything:
            self.watch(held, lambda value: self._used_by_python(value, given, asks))

    def _used_by_python(self, value: Value, given: Given, asks: "tuple[str, ...]") -> None:
        if isinstance(value, Container):
            self.watch(self._askable(value.elements), lambda each: self._asked_by_python(each, given, asks))
        self._asked_by_python(value, given, asks)

    def _askable(self, held: Held) -> Held:
        """Those values of `held` of which Python asks something: few, and many calls look for them."""
        found = self._askables.get(held)
        if found is None:
            found = self._askables[held] = Held()
            self.watch(held, partial(self._put_askable, into=found))
        return found

    def _put_askable(self, value: Value, into: Held) -> None:
        if isinstance(value, Running) or (isinstance(value, Instance) and self._asking[value.of]):
            self.put(into, value)

    def _asked_by_python(self, value: Value, given: Given, asks: "tuple[str, ...]") -> None:
        if isinstance(value, Running) and asks:
            self.call(given.caller, value.function, "generator", given.line)
        if isinstance(value, Instance) and self._asking[value.of]:
            self.ask(value, asks, given.caller, given.line, "operator", Held())

    def written_at(self, given: Given, place: int) -> list[str]:
        """The string that is written as an argument of the call; none when it is computed at run time."""
        raise NotImplementedError

    def builtin(self, value: Builtin, given: Given) -> None:
        """Call a function of Python's own, or a method of one of its types."""
        raise NotImplementedError

    def container(self, function: Function, node: "ast.AST | None", name: str = "") -> Container:
        """The container that this place in the source makes."""
        raise NotImplementedError
