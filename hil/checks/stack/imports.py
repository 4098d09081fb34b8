"""Which imports run a module: each does once, so most in the graph of calls find it loaded already."""

from hil.checks.stack.depth import Graph
from hil.checks.stack.program import Function, Module
from hil.checks.stack.store import Edge

IMPORT = "import"


def once(graph: Graph, roots: "tuple[Function, ...]") -> Graph:
    """The graph without the imports that run nothing; the modules `roots` are imported first, in this order.

    The first is run as the program; the others are imported by a function of it.
    """
    loaded: set[Module] = set()
    kept: Graph = {}
    for root in roots:
        if root.module not in loaded:
            _load(graph, root, loaded, kept)
    made = {
        function: _late(edges, loaded, roots) if function.kind != "module" else kept.get(function, {})
        for function, edges in graph.items()
    }
    for function in graph:
        for edge in _imports(made.get(function, {})) if function.kind != "module" else ():
            if edge.callee not in roots:
                _follow(graph, edge.callee, loaded, made, (edge.callee.module,))
    return made


def _imports(edges: "dict[Edge, None]") -> list[Edge]:
    return sorted((edge for edge in edges if edge.kind == IMPORT), key=lambda edge: edge.line)


def _late(
    edges: "dict[Edge, None]", loaded: set[Module], roots: "tuple[Function, ...]"
) -> "dict[Edge, None]":
    return {
        edge: None
        for edge in edges
        if edge.kind != IMPORT or edge.callee.module not in loaded or edge.callee in roots[1:]
    }


def _load(graph: Graph, body: Function, loaded: set[Module], kept: Graph) -> None:
    """Run a module's body as it is imported first: its imports in their order."""
    loaded.add(body.module)
    edges = graph.get(body, {})
    kept[body] = {edge: None for edge in edges if edge.kind != IMPORT}
    for edge in _imports(edges):
        if edge.callee.module not in loaded:
            kept[body][edge] = None
            _load(graph, edge.callee, loaded, kept)


def _follow(
    graph: Graph, body: Function, loaded: set[Module], made: Graph, path: "tuple[Module, ...]"
) -> None:
    """A module that is imported later: what it imports in turn, without coming back to itself."""
    edges = graph.get(body, {})
    mine = made.setdefault(body, {})
    mine |= {edge: None for edge in edges if edge.kind != IMPORT}
    for edge in _imports(edges):
        if edge.callee.module not in loaded and edge.callee.module not in path and edge not in mine:
            mine[edge] = None
            _follow(graph, edge.callee, loaded, made, (*path, edge.callee.module))
