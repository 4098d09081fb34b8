"""The mutants of a source text: where, what, and the text with the change."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass

from hil.mutation import operators

SKIPPED_CALLS = ("const", "print")
CHECKERS = ("TYPE_CHECKING",)  # what is False wherever code runs
MODULE = "(module)"
PLAIN = (ast.Constant, ast.Call, ast.Name, ast.Tuple, ast.Starred)  # what needs no brackets in its place


@dataclass(frozen=True)
class Mutant:
    """One change in `file` (relative to the top of the tree): bytes `begin` to `end` become `text`.

    `function` is its qualified name, or MODULE for what an import of the module runs; `line` counts from 1.
    """

    file: str
    function: str
    line: int
    kind: str
    old: str
    new: str
    begin: int
    end: int
    text: str

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What a published judgement is found by, while the lines around may move."""
        return self.file, self.function, self.old, self.new

    def __str__(self) -> str:
        return f"{self.file}:{self.line} {self.function}: {self.old}  ->  {self.new}"


class Source:
    """A source text with the byte offsets that its syntax tree's places mean."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tree = ast.parse(text)
        self.data = text.encode()
        self._starts = [0]
        for line in self.data.splitlines(keepends=True):
            self._starts.append(self._starts[-1] + len(line))

    def begin(self, node: ast.expr | ast.stmt) -> int:
        """The offset of a node's first byte."""
        return self._starts[node.lineno - 1] + node.col_offset

    def end(self, node: ast.expr | ast.stmt) -> int:
        """The offset behind a node's last byte."""
        assert node.end_lineno is not None  # so after parsing
        assert node.end_col_offset is not None
        return self._starts[node.end_lineno - 1] + node.end_col_offset

    def lines_around(self, begin: int, end: int) -> tuple[int, int]:
        """The offsets of the whole lines that hold the bytes from `begin` to `end`."""
        first = self.data.rfind(b"\n", 0, begin) + 1
        last = self.data.find(b"\n", end)
        return first, last if last >= 0 else len(self.data)


def mutants(file: str, text: str) -> list[Mutant]:
    """Every mutant of a source text, in the order of its places. Raises SyntaxError."""
    source = Source(text)
    return [
        made
        for node, function in nodes(source.tree, MODULE)
        for made in _mutants_of(source, file, node, function)
    ]


def rule_mutants(file: str, text: str) -> list[Mutant]:
    """The mutants of a game's rules: comparisons, numbers, spans, rows of charts and their guards.

    In the order of their places. Raises SyntaxError.
    """
    source = Source(text)
    return [
        made
        for node, function in nodes(source.tree, MODULE)
        for made in _rule_mutants_of(source, file, node, function)
    ]


def _rule_mutants_of(source: Source, file: str, node: ast.AST, function: str) -> Iterator[Mutant]:
    if isinstance(node, (ast.expr, ast.stmt)):
        for kind, other in operators.changes(node, operators.RULE_OPERATORS):
            yield _mutant(source, file, function, node, kind, other)
        for place, (kind, other) in operators.chart_row(node):
            yield _mutant(source, file, function, place, kind, other)


def applied(text: str, mutant: Mutant) -> str:
    """The source text with the change."""
    data = text.encode()
    return (data[: mutant.begin] + mutant.text.encode() + data[mutant.end :]).decode()


def nodes(tree: ast.AST, function: str) -> Iterator[tuple[ast.AST, str]]:
    """The nodes that may be changed, each with the function whose call runs it."""
    for child in children(tree):
        if isinstance(child, (ast.FunctionDef, ast.ClassDef)):
            inside = child.name if function == MODULE else f"{function}.{child.name}"
            yield from _defined(child, inside, function)
        else:
            yield child, function
            yield from nodes(child, function)


def _defined(
    node: ast.FunctionDef | ast.ClassDef, inside: str, outside: str
) -> Iterator[tuple[ast.AST, str]]:
    """The nodes of a definition. A class's body runs with the module; so do default values."""
    if isinstance(node, ast.FunctionDef):
        for default in [*node.args.defaults, *filter(None, node.args.kw_defaults)]:
            yield default, outside
            yield from nodes(default, outside)
    for statement in node.body:
        if isinstance(statement, (ast.FunctionDef, ast.ClassDef)):
            yield from _defined(statement, f"{inside}.{statement.name}", outside)
        elif not _is_text(statement):
            yield statement, inside
            yield from nodes(statement, inside)


def children(node: ast.AST) -> Iterator[ast.AST]:
    """The parts of a node that may be changed: no annotations, texts, or what only type checkers read."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _is_left_out(child):
                yield child


def _is_left_out(node: ast.AST) -> bool:
    if isinstance(node, ast.If) and _names(node.test, CHECKERS):
        return True
    if isinstance(node, ast.Assign) and _names(node.targets[0], CHECKERS):
        return True
    if isinstance(node, ast.Call) and _names(node.func, SKIPPED_CALLS):
        return True
    return _is_text(node) or isinstance(node, (ast.JoinedStr, ast.Import, ast.ImportFrom))


def _names(node: ast.AST, names: tuple[str, ...]) -> bool:
    return isinstance(node, ast.Name) and node.id in names


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _mutants_of(source: Source, file: str, node: ast.AST, function: str) -> Iterator[Mutant]:
    if not isinstance(node, (ast.expr, ast.stmt)):
        return  # has no place of its own
    for kind, other in operators.changes(node):
        if not (kind == "dropped" and function.endswith("__init__")):
            yield _mutant(source, file, function, node, kind, other)
    if isinstance(node, (ast.If, ast.While, ast.IfExp)):
        for kind, other in operators.condition(node.test):
            yield _mutant(source, file, function, node.test, kind, other)


def _mutant(
    source: Source, file: str, function: str, node: ast.expr | ast.stmt, kind: str, other: ast.AST
) -> Mutant:
    begin, end = source.begin(node), source.end(node)
    text = ast.unparse(ast.fix_missing_locations(other))
    if isinstance(other, ast.expr) and not isinstance(other, PLAIN):
        text = f"({text})"
    first, last = source.lines_around(begin, end)
    old = source.data[first:last].decode()
    new = (source.data[first:begin] + text.encode() + source.data[end:last]).decode()
    line = source.data.count(b"\n", 0, begin) + 1
    if kind == "row":
        new = "(no row)"
    if kind == "span":
        text = str(operators.SPANS[text])  # its name need not be imported there
    return Mutant(file, function, line, kind, " ".join(old.split()), " ".join(new.split()), begin, end, text)
