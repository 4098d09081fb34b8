"""Which statements a check runs: probes put into source text, and the checks that can see a mutant."""

import ast
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from hil.mutation.mutants import Mutant, Source

PROBES = "__reach__"  # a bytearray among the builtins; a statement that runs sets its byte


@dataclass(frozen=True)
class Probe:
    """A statement of a function, by its bytes in `file`; `number` is its place in the array."""

    number: int
    file: str
    begin: int
    end: int


def with_probes(file: str, text: str, first: int) -> tuple[str, list[Probe]]:
    """The text with a line before each statement of a function; probes are numbered from `first`."""
    source = Source(text)
    probes: list[Probe] = []
    parts: list[str] = []
    done = 0
    for node in sorted(_statements(source.tree), key=source.begin):
        begin = source.begin(node)
        line, _ = source.lines_around(begin, begin)
        margin = source.data[line:begin]
        if margin.strip() or source.data[begin:].startswith(b"elif"):
            continue  # not at the beginning of its line: the statement around it has a probe
        number = first + len(probes)
        parts += [source.data[done:line].decode(), f"{margin.decode()}{PROBES}[{number}] = 1\n"]
        probes.append(Probe(number, file, begin, source.end(node)))
        done = line
    return "".join([*parts, source.data[done:].decode()]), probes


def _statements(node: ast.AST, in_function: bool = False) -> Iterator[ast.stmt]:
    """The statements inside functions, without docstrings and without decorated definitions."""
    in_function = in_function or isinstance(node, ast.FunctionDef)
    for child in ast.iter_child_nodes(node):
        if in_function and isinstance(child, ast.stmt) and not _is_passed_over(child):
            yield child
        yield from _statements(child, in_function)


def _is_passed_over(node: ast.stmt) -> bool:
    return (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)) or bool(
        getattr(node, "decorator_list", None)
    )


@dataclass
class Reached:
    """A check of the tree without a mutant: the probes it reached, its CPU seconds, its trace hash."""

    name: str
    cpu_s: float
    probes: frozenset[int]
    digest: str = ""


@dataclass
class ReachMap:
    """What every check reaches, and what runs when modules are `imported`."""

    probes: list[Probe]
    checks: list[Reached] = field(default_factory=list)
    imported: frozenset[int] = frozenset()

    def seeing(self, mutant: Mutant) -> list[Reached]:
        """The checks that run a mutant's statement, the cheapest first.

        What runs when a module is imported is seen by every check: first by those that run a function of
        that file.
        """
        place = self._place(mutant)
        if place is not None and place not in self.imported:
            return by_cost(check for check in self.checks if place in check.probes)
        there = {probe.number for probe in self.probes if probe.file == mutant.file}
        near = by_cost(check for check in self.checks if there & check.probes)
        return near + by_cost(check for check in self.checks if not there & check.probes)

    def _place(self, mutant: Mutant) -> int | None:
        around = [
            probe
            for probe in self.probes
            if probe.file == mutant.file and probe.begin <= mutant.begin and mutant.end <= probe.end
        ]
        return max(around, key=lambda probe: probe.begin).number if around else None


def by_cost(checks: Iterable[Reached]) -> list[Reached]:
    """Checks, the cheapest first."""
    return sorted(checks, key=lambda check: check.cpu_s)
