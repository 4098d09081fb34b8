"""What a name can hold while a board's program runs: objects by their class, functions, containers.

Values are looked up millions of times. Those there are most of are named tuples, whose hash costs no call.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from hil.checks.stack.program import Class, Function, Module


class Instance(NamedTuple):
    """An object of one of the program's classes; all of one class count as one."""

    of: Class


class Bound(NamedTuple):
    """A method with its object, or a class method with its class."""

    function: Function
    to: "Instance | Class"


class Super(NamedTuple):
    """The result of `super()`: methods are looked up in the classes after `behind`."""

    behind: Class
    to: "Instance | Class"


class Running(NamedTuple):
    """A generator that was made by calling its function."""

    function: Function


@dataclass(frozen=True)
class Builtin:
    """A function of Python's own, or a method of one of its types with the object it is of."""

    name: str
    of: "Container | Running | None" = None


@dataclass(eq=False, repr=False)
class Container:
    """A list, tuple, dict or set, by the place in the source that makes it. `items`: one by one, if known."""

    elements: "Held"
    items: "list[Held]" = field(default_factory=list)


@dataclass(frozen=True)
class Plain:
    """Numbers, texts, None, and whatever holds none of the program's functions and objects."""


@dataclass(frozen=True)
class Outside:
    """Something of MicroPython's or the chip's, whose calls stay there."""

    name: str = ""


@dataclass(frozen=True)
class Unknown:
    """Anything: every object that exists, every function that is held somewhere."""


Value = (
    Instance
    | Class
    | Function
    | Module
    | Bound
    | Super
    | Running
    | Builtin
    | Container
    | Plain
    | Outside
    | Unknown
)
PLAIN = Plain()
OUTSIDE = Outside()
UNKNOWN = Unknown()


class Held:
    """The values that one variable, attribute, argument or result can have. It only grows.

    `fresh`: those that were not passed on yet. `bits`, `fresh_bits`: the same two as sets of bits.
    """

    __slots__ = ("bits", "fresh", "fresh_bits", "to", "users", "values")

    def __init__(self) -> None:
        self.values: dict[Value, None] = {}
        self.fresh: list[Value] = []
        self.bits = self.fresh_bits = 0
        self.to: dict[Held, None] = {}
        self.users: list[Callable[[Value], None]] = []
