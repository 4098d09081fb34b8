"""The deepest path through a graph of calls; what calls itself without a declared bound is refused.

A call that closes a circle is declared by `# depth: N WHY` at the end of its line: it is nested in itself at
most N times. The bound then counts every way round that makes no declared call more often.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from hil.checks.stack.program import Function
from hil.checks.stack.store import Edge

DECLARED = re.compile(r"#\s*depth:\s*(\d+)\s+(\S.*)$")
Graph = dict[Function, dict[Edge, None]]


@dataclass
class Path:
    """Nested calls, with what each takes: bytes of stack, how it was called, in which line."""

    bytes: int = 0
    steps: tuple[tuple[Function, str, int], ...] = ()

    @property
    def calls(self) -> int:
        """How many calls are nested."""
        return len(self.steps)


@dataclass
class Recursion:
    """Functions that can call themselves again, and the calls that close the circle."""

    functions: tuple[Function, ...]

    @property
    def where(self) -> str:
        """The place of its first function, "file:line"."""
        return self.functions[0].where

    def __str__(self) -> str:
        names = " > ".join(str(each) for each in (*self.functions, self.functions[0]))
        return f"{names}: calls itself without end, as far as the code shows"


@dataclass
class Deepest:
    """Finds deepest paths. `cost`: bytes of a function called in some way; `within`: what Python adds below.

    `recursions`: recursion without a declared bound; while there is any, paths cannot be asked for.
    """

    graph: Graph
    cost: Callable[[Function, str], int]
    within: Callable[[Function], int]
    recursions: list[Recursion] = field(default_factory=list)
    _group: dict[Function, int] = field(default_factory=dict)
    _groups: list[list[Function]] = field(default_factory=list)
    _bounds: dict[tuple[Function, Edge], int] = field(default_factory=dict)
    _best: "dict[tuple[Function, tuple[int, ...]], Path]" = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._groups = list(_components(self.graph))
        for number, group in enumerate(self._groups):
            for function in group:
                self._group[function] = number
        for group in self._groups:
            self._declare(group)

    def _declare(self, group: list[Function]) -> None:
        """Note the declared calls of a group that calls itself, and whether they cut every recursion."""
        inside = set(group)
        left: Graph = {}
        for function in group:
            for edge in self.graph.get(function, ()):
                if edge.callee not in inside:
                    continue
                bound = declared(function, edge.line)
                if bound is None:
                    left.setdefault(function, {})[edge] = None
                else:
                    self._bounds[(function, edge)] = bound
        for rest in _components(left):
            if len(rest) > 1 or any(edge.callee is rest[0] for edge in left.get(rest[0], ())):
                self.recursions.append(Recursion(_recursion(left, rest)))

    def below(self, function: Function) -> Path:
        """The deepest path below `function`; the recursions have to be declared."""
        for group in self._groups:  # callees first, so that nothing here recurses far
            for each in group:
                self._from(each, self._full(each))
        return self._from(function, self._full(function))

    def _limits(self, function: Function) -> "list[tuple[Function, Edge]]":
        number = self._group[function]
        return [key for key in self._bounds if self._group[key[0]] == number]

    def _full(self, function: Function) -> tuple[int, ...]:
        return tuple(self._bounds[key] for key in self._limits(function))

    def _from(self, function: Function, counts: tuple[int, ...]) -> Path:
        """The deepest path when each declared call of the group may still be made `counts` times."""
        key = (function, counts)
        if key in self._best:
            return self._best[key]
        best = Path(self.within(function))
        limits = self._limits(function)
        for edge in self.graph.get(function, ()):
            if self._group[edge.callee] != self._group[function]:
                below = self._from(edge.callee, self._full(edge.callee))
            elif (function, edge) in self._bounds:
                at = limits.index((function, edge))
                if not counts[at]:
                    continue
                below = self._from(edge.callee, (*counts[:at], counts[at] - 1, *counts[at + 1 :]))
            else:
                below = self._from(edge.callee, counts)
            size = below.bytes + self.cost(edge.callee, edge.kind)
            if size > best.bytes:
                best = Path(size, ((edge.callee, edge.kind, edge.line), *below.steps))
        self._best[key] = best
        return best


def declared(function: Function, line: int) -> int | None:
    """How often a call in that line may be nested in itself; None where nothing is declared."""
    lines = function.module.lines
    found = DECLARED.search(lines[line - 1]) if 0 < line <= len(lines) else None
    return int(found[1]) if found else None


def _components(graph: Graph) -> "Iterable[list[Function]]":
    """Groups of functions that can all reach each other, callees before callers (Tarjan)."""
    numbers: dict[Function, int] = {}
    low: dict[Function, int] = {}
    stack: list[Function] = []
    on: set[Function] = set()
    everything = dict.fromkeys(graph) | dict.fromkeys(
        edge.callee for edges in graph.values() for edge in edges
    )
    for root in everything:
        if root in numbers:
            continue
        work = [(root, iter(list(graph.get(root, ()))))]
        numbers[root] = low[root] = len(numbers)
        stack.append(root)
        on.add(root)
        while work:
            function, edges = work[-1]
            for edge in edges:
                callee = edge.callee
                if callee not in numbers:
                    numbers[callee] = low[callee] = len(numbers)
                    stack.append(callee)
                    on.add(callee)
                    work.append((callee, iter(list(graph.get(callee, ())))))
                    break
                if callee in on:
                    low[function] = min(low[function], numbers[callee])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[function])
                if low[function] == numbers[function]:
                    group = _popped(stack, function)
                    on.difference_update(group)
                    yield group


def _popped(stack: list[Function], last: Function) -> list[Function]:
    """Pop functions up to and with `last`."""
    group = [stack.pop()]
    while group[-1] is not last:
        group.append(stack.pop())
    return group


def _recursion(graph: Graph, group: list[Function]) -> tuple[Function, ...]:
    """One shortest way round within a group."""
    inside = set(group)
    start = min(group, key=lambda each: each.where)
    ways: dict[Function, tuple[Function, ...]] = {start: (start,)}
    waiting = [start]
    while waiting:
        function = waiting.pop(0)
        for edge in graph.get(function, ()):
            if edge.callee is start:
                return ways[function]
            if edge.callee in inside and edge.callee not in ways:
                ways[edge.callee] = (*ways[function], edge.callee)
                waiting.append(edge.callee)
    return (start,)
