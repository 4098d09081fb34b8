"""No import circles, those hidden in functions included."""

import grimp

PACKAGES = ("firmware", "boards", "simulator", "hil")

KNOWN: tuple[frozenset[str], ...] = ()  # circles that exist, each with its reason
OPERATOR = "firmware.operator."  # its pages and their table load each other, page by page


def circles(graph: grimp.ImportGraph) -> list[frozenset[str]]:
    """The sets of modules that import each other, directly or through others (Tarjan's algorithm)."""
    order: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[frozenset[str]] = []

    def visit(module: str) -> None:
        order[module] = low[module] = len(order)
        stack.append(module)
        for imported in sorted(graph.find_modules_directly_imported_by(module)):
            if imported not in order:
                visit(imported)
                low[module] = min(low[module], low[imported])
            elif imported in stack:
                low[module] = min(low[module], order[imported])
        if low[module] == order[module]:
            at = stack.index(module)
            members = frozenset(stack[at:])
            del stack[at:]
            if len(members) > 1:
                found.append(members)

    for module in sorted(graph.modules):
        if module not in order:
            visit(module)
    return found


def unknown(found: list[frozenset[str]]) -> list[list[str]]:
    """Those that are not known."""
    return [
        sorted(members)
        for members in found
        if not any(members <= known for known in KNOWN) and not all(m.startswith(OPERATOR) for m in members)
    ]


def test_no_modules_import_each_other() -> None:
    # An import for types alone is never run, so it makes no circle.
    graph = grimp.build_graph(*PACKAGES, cache_dir=None, exclude_type_checking_imports=True)
    assert unknown(circles(graph)) == []


def test_a_circle_would_be_found() -> None:
    graph = grimp.build_graph("simulator", cache_dir=None)
    graph.add_import(importer="simulator.scheduler", imported="simulator.plant")
    assert any("simulator.plant" in members for members in unknown(circles(graph)))
