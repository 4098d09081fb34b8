"""Calls of Python's own functions: what they give, and what they call back."""

from collections.abc import Callable
from functools import partial

from hil.checks.stack import names
from hil.checks.stack.calls import ANY_NAME, Calls, Given
from hil.checks.stack.program import Class, Function, Module
from hil.checks.stack.values import (
    PLAIN,
    Builtin,
    Container,
    Held,
    Instance,
    Running,
    Super,
    Value,
)


class Builtins(Calls):
    """What `getattr`, `sorted`, `list.append` and the others do with functions and objects."""

    def builtin(self, value: Builtin, given: Given) -> None:
        """One call."""
        special = {
            "getattr": self._getattr,
            "hasattr": self._getattr,
            "setattr": self._setattr,
            "super": self._super,
            "type": self._type,
            "__import__": self._import,
            "eval": self._unknown,
            "__new__": self._new_object,
            "const": self._same,
        }
        if isinstance(value.of, Running):
            self._step_by_hand(value.of, given)
        elif value.of is not None:
            self._of_container(value.of, value.name, given)
        elif value.name in special:
            special[value.name](given)
        else:
            self._gives(value.name, given)
            self._calls_back(value.name, given)
        self.given_to_python(given, names.ASKS.get(value.name, names.ASKED_BY_PYTHON))

    def _gives(self, name: str, given: Given) -> None:
        if name in names.PAIRS or name == "dict":
            self._pairs(name, given)
        elif name in names.GIVES_ELEMENTS or name == "map":
            made = self.made_at(given, name)
            for held in given.everything if name != "map" else ():
                self._elements(held, made.elements, given)
            self.put(given.result, made)
        elif name in names.TAKES_ELEMENT:
            for held in given.everything:
                self._elements(held, given.result, given)
                if len(given.places) > 1:
                    self.send(held, given.result)
        self.put(given.result, PLAIN)

    def _pairs(self, name: str, given: Given) -> None:
        """`zip` and `enumerate` give tuples; `dict` unpacks some."""
        made = self.made_at(given, name)
        self.put(given.result, made)
        if name == "dict":
            for held in given.everything:
                each = Held()
                self._elements(held, each, given)
                self.send(each, made.elements)
                self._elements(each, made.elements, given)
            return
        row = self.made_at(given, f"{name} row")
        if not row.items:
            row.items.extend(Held() for _ in range(2 if name == "enumerate" else len(given.places)))
            for item in row.items:
                self.put(item, PLAIN)
                self.send(item, row.elements)
            self.put(made.elements, row)
        for held, item in zip(
            given.places, row.items[1:] if name == "enumerate" else row.items, strict=False
        ):
            self._elements(held, item, given)
        for held in given.starred:
            inner = Held()
            self._elements(held, inner, given)
            self._elements(inner, row.elements, given)

    def _elements(self, held: Held, into: Held, given: Given) -> None:
        self.watch(held, lambda value: self.step(value, given.caller, given.line, into))

    def _calls_back(self, name: str, given: Given) -> None:
        """`key=` of sorted, min and max, and the function of map and filter."""
        called = [given.named["key"]] if "key" in given.named else []
        if name in names.CALLS_BACK and given.places:
            called.append(given.places[0])
        result = self.made_at(given, name).elements if name == "map" else Held()
        arguments = given.places[1:] if name in names.CALLS_BACK else given.places
        each = Held()
        for held in arguments:
            self._elements(held, each, given)
        count = max(1, len(arguments)) if name == "map" else 1
        back = Given(given.caller, given.line, [each] * count, [], {}, [], result, "builtin")
        for held in called:
            self.watch(held, lambda value: self.run(value, back))

    def _of_container(self, of: Container, name: str, given: Given) -> None:
        """A method of a list, dict or set."""
        if name in names.MAKES:
            for held in given.everything:
                self.send(held, of.elements)
                if name in ("extend", "update"):
                    self._elements(held, of.elements, given)
        if name in names.TAKES:
            self.send(of.elements, given.result)
            for held in given.places[1:]:
                self.send(held, given.result)
        if name in names.COPIES or name in ("items", "popitem"):
            self._copied(of, name, given)
        if name == "sort":
            self._calls_back(name, given)
        self.put(given.result, PLAIN)

    def _copied(self, of: Container, name: str, given: Given) -> None:
        made = self.made_at(given, name)
        if name in names.COPIES:
            self.send(of.elements, made.elements)
        else:
            row = self.made_at(given, f"{name} row")
            if not row.items:
                row.items.extend((row.elements, row.elements))
            self.send(of.elements, row.elements)
            self.put(made.elements, row)
        for held in given.everything:
            self._elements(held, made.elements, given)
        self.put(given.result, made)

    def made_at(self, given: Given, name: str) -> Container:
        """The container that a call gives: one by the place of the call."""
        raise NotImplementedError

    # Those that look at names ------------------------------------------------------------------

    def _getattr(self, given: Given) -> None:
        texts = self.written_at(given, 1)
        for held in given.places[2:]:
            self.send(held, given.result)
        if texts:
            for name in texts:
                self.watch(given.places[0], self._looked_up(name, given))
        elif given.places:
            self.watch(given.places[0], lambda value: self._any_attribute(value, given))
        self.put(given.result, PLAIN)

    def _looked_up(self, name: str, given: Given) -> Callable[[Value], None]:
        return lambda value: self.attribute(value, name, given.caller, given.line, given.result)

    def _any_attribute(self, value: Value, given: Given) -> None:
        """The name is computed at run time: any string that is written where class or call are may be it."""
        of = value.of if isinstance(value, Instance) else value
        modules = {given.caller.module}
        if isinstance(of, Class):
            modules |= {each.module for each in self.bases.order(of)}
        for name in sorted(set().union(*(module.words for module in modules))):
            if isinstance(of, Module) or (isinstance(of, Class) and self._has(of, name)):
                self.attribute(value, name, given.caller, given.line, given.result)
        if isinstance(of, Class):
            self.send(self.field(of, ANY_NAME), given.result)

    def _has(self, of: Class, name: str) -> bool:
        return self.in_body(of, name) is not None or self.has_field(of, name)

    def _setattr(self, given: Given) -> None:
        if len(given.places) < 3:
            return
        on, _, what, *_ = given.places
        for name in self.written_at(given, 1) or [ANY_NAME]:
            store = partial(self.store, name=name, what=what, caller=given.caller, line=given.line)
            self.watch(on, store)

    def _super(self, given: Given) -> None:
        function: Function | None = given.caller
        while function and not function.holder:
            function = function.outer
        if not function or not function.holder:
            return
        behind = function.holder
        first = self.variable(function, function.parameters[0]) if function.parameters else Held()
        self.watch(first, lambda value: self._behind(value, behind, given))

    def _behind(self, value: Value, behind: Class, given: Given) -> None:
        if isinstance(value, Instance | Class):
            self.put(given.result, Super(behind, value))

    def _type(self, given: Given) -> None:
        for held in given.places[:1]:
            self.watch(held, lambda value: self._type_of(value, given.result))

    def _type_of(self, value: Value, into: Held) -> None:
        self.put(into, value.of if isinstance(value, Instance) else PLAIN)

    def _new_object(self, given: Given) -> None:
        """`object.__new__(kind)`."""
        for held in given.places:
            self.watch(held, lambda value: self._made_bare(value, given.result))

    def _made_bare(self, value: Value, into: Held) -> None:
        if isinstance(value, Class):
            self.put(into, self.make(value))

    def _import(self, given: Given) -> None:
        """A module by a name that is made while running: the game's."""
        for module in self.game_modules():
            self.import_module(given.caller, module.name, given.line)
            self.put(given.result, module)

    def import_module(self, caller: Function, name: str, line: int) -> None:
        """Run the body of a module, and of the packages around it."""
        parts = name.split(".")
        for end in range(1, len(parts) + 1):
            found = self.program.modules.get(".".join(parts[:end]))
            if found:
                self.call(caller, found.body, "import", line)

    def _same(self, given: Given) -> None:
        for held in given.places:
            self.send(held, given.result)

    def _step_by_hand(self, value: Running, given: Given) -> None:
        """`generator.send(value)` and the like."""
        self.step(value, given.caller, given.line, given.result)
        for held in given.places:
            self.send(held, self.frame(value.function).sent)

    def _unknown(self, given: Given) -> None:
        self.guess(given.caller, given.line, "eval", given.result)
