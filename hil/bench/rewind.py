"""Puts all objects that are reached from a root back to what they were: one console plays many games."""

from array import array
from collections.abc import Callable
from functools import partial
from types import BuiltinFunctionType, CellType, FunctionType, MethodDescriptorType, MethodType, ModuleType

UNCHANGING = (int, str, bytes, float, range, type(None), type, ModuleType, MethodDescriptorType)
NATIVE = "__mypyc_attrs__"  # names of the attributes of a compiled class
NO_ATTRIBUTES = ("__dict__", "__weakref__")


class NotRewindable(Exception):
    """An object of a kind whose contents cannot be put back."""


class Rewind:
    """Keeps what lists, arrays, dicts, sets and attributes hold now; `rewind` puts it back in place.

    Objects of the types `apart` are left as they are. Raises NotRewindable when an object is of another
    kind, such as a generator.
    """

    def __init__(self, root: object, apart: tuple[type, ...] = ()) -> None:
        self._apart: tuple[type, ...] = (*UNCHANGING, *apart)
        self._kept: list[Callable[[], None]] = []
        self._seen: dict[int, object] = {}  # held, so that no identity is used twice
        waiting = [root]
        while waiting:
            waiting.extend(self._keep(waiting.pop()))
        self._seen.clear()

    def rewind(self) -> None:
        """Put everything back."""
        for put_back in self._kept:
            put_back()

    def _keep(self, one: object) -> list[object]:
        """Keep one object's contents; what it refers to."""
        if isinstance(one, self._apart) or id(one) in self._seen:
            return []
        self._seen[id(one)] = one
        if isinstance(one, tuple | frozenset):
            return list(one)
        if isinstance(one, bytearray):
            self._kept.append(partial(_put_bytes, one, bytes(one)))
            return []
        if isinstance(one, array):
            self._kept.append(partial(_put_numbers, one, one[:]))
            return []
        if isinstance(one, list):
            self._kept.append(partial(_put_items, one, one[:]))
            return list(one)
        if isinstance(one, set):
            self._kept.append(partial(_put_members, one, one.copy()))
            return list(one)
        if isinstance(one, dict):
            self._kept.append(partial(_put_entries, one, one.copy()))
            return [*one, *one.values()]
        return self._keep_more(one)

    def _keep_variables(self, one: object) -> list[object]:
        if not hasattr(one, "__dict__"):
            return []
        variables: dict[str, object] = vars(one)
        self._kept.append(partial(_put_variables, variables, variables.copy()))
        return list(variables.values())

    def _keep_more(self, one: object) -> list[object]:
        if isinstance(one, MethodType | BuiltinFunctionType):
            return [one.__self__]
        if isinstance(one, FunctionType):
            return [*(one.__closure__ or ()), *(one.__defaults__ or ())]
        if isinstance(one, CellType):
            self._kept.append(partial(setattr, one, "cell_contents", one.cell_contents))
            return [one.cell_contents]
        if isinstance(one, memoryview):
            return [one.obj]
        native = _native_names(one)
        if native:
            held = {name: getattr(one, name) for name in native if hasattr(one, name)}
            self._kept.append(partial(_put_attributes, one, list(held.items())))
            return [*held.values(), *self._keep_variables(one)]
        if hasattr(one, "__dict__") and not hasattr(type(one), "__slots__"):
            return self._keep_variables(one)
        raise NotRewindable(f"a {type(one).__name__}")


def _put_bytes(target: bytearray, held: bytes) -> None:
    target[:] = held


def _put_numbers(target: "array[int]", held: "array[int]") -> None:
    target[:] = held


def _put_items(target: list[object], held: list[object]) -> None:
    target[:] = held


def _put_members(target: set[object], held: set[object]) -> None:
    target.clear()
    target |= held


def _put_entries(target: dict[object, object], held: dict[object, object]) -> None:
    target.clear()  # so that their order is the one they had
    target.update(held)


def _put_variables(target: dict[str, object], held: dict[str, object]) -> None:
    target.update(held)
    if len(target) != len(held):
        target.clear()
        target.update(held)


def _put_attributes(target: object, held: list[tuple[str, object]]) -> None:
    for name, value in held:
        setattr(target, name, value)


def _native_names(one: object) -> list[str]:
    """The attributes that compiled classes declare for an object."""
    names = (name for kind in type(one).__mro__ for name in getattr(kind, NATIVE, ()))
    return [name for name in dict.fromkeys(names) if name not in NO_ATTRIBUTES]
