"""Which attributes can meet in one object: those of a class and of the classes it inherits from."""

import ast
from collections.abc import Iterable, Iterator


class Families:
    """The attributes of every class of some modules, instances included."""

    def __init__(self, trees: "list[ast.Module]", shapes: "Iterable[tuple[str, Iterable[str]]]") -> None:
        """`shapes`: classes with attributes that are known of their instances."""
        self._own: dict[str, set[str]] = {}
        self._bases: dict[str, list[str]] = {}
        for tree in trees:
            for node in tree.body:
                if isinstance(node, ast.ClassDef):
                    self._own[node.name] = _names_in(node)
                    self._bases[node.name] = [base.id for base in node.bases if isinstance(base, ast.Name)]
        for name, attributes in shapes:
            self._own[name] |= set(attributes)

    def share(self, names: "list[str]", pool: "Iterator[str]") -> "dict[str, str]":
        """A short name for each; two that can meet get different ones. The first ones get the first."""
        meeting: dict[str, set[str]] = {name: set() for name in names}
        for cls in self._own:
            members = self._all(cls)
            for name in members:
                if name in meeting:
                    meeting[name] |= members
        return shared(names, meeting, pool)

    def _all(self, cls: str) -> "set[str]":
        found = set(self._own.get(cls, ()))
        for base in self._bases.get(cls, ()):
            found |= self._all(base)
        return found


def shared(names: "list[str]", meeting: "dict[str, set[str]]", pool: "Iterator[str]") -> "dict[str, str]":
    """A short name for each; none that `meeting` has of another, and a name that meets none has its own."""
    short: list[str] = []
    given: dict[str, str] = {}
    for name in names:
        alone = not meeting[name]
        taken = set(given.values()) if alone else {given[other] for other in meeting[name] if other in given}
        taken |= {given[other] for other in given if not meeting[other]}
        at = 0
        while at < len(short) and short[at] in taken:
            at += 1
        if at == len(short):
            short.append(next(pool))
        given[name] = short[at]
    return given


def _names_in(node: ast.ClassDef) -> "set[str]":
    """Members of a class, and what its methods ask of `self`."""
    found: set[str] = set()
    for part in node.body:
        if isinstance(part, ast.Assign) and isinstance(part.targets[0], ast.Name):
            found.add(part.targets[0].id)
        elif isinstance(part, ast.FunctionDef):
            found.add(part.name)
            own = part.args.args[0].arg if part.args.args else ""
            for each in ast.walk(part):
                if (
                    isinstance(each, ast.Attribute)
                    and isinstance(each.value, ast.Name)
                    and each.value.id == own
                ):
                    found.add(each.attr)
    return found
