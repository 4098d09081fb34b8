"""What a mutant changes: each operator is a function from a node of the syntax tree to nodes in its place."""

import ast
from collections.abc import Callable, Iterator
from copy import copy

from firmware.play import memory

Change = tuple[str, ast.AST]
"""The kind of a change, and the node that takes the place of the one given."""

OTHER_COMPARISON: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
OTHER_SUM: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
    ast.BitXor: ast.BitOr,
}
SPANS = {"BALL": memory.BALL, "PLAYER": memory.PLAYER, "GAME": memory.GAME, "PERSISTENT": memory.PERSISTENT}
ROW_WITH_GUARD = 5
OTHER_NAME = {"min": "max", "max": "min"}
# A comparison by one of these already has its negation as a change.
WITH_NEGATION = (ast.Eq, ast.NotEq, ast.Is, ast.IsNot, ast.In, ast.NotIn)


def _with(node: ast.AST, **fields: object) -> ast.AST:
    """A copy of `node` with other fields."""
    made = copy(node)
    for name, value in fields.items():
        setattr(made, name, value)
    return made


def comparison(node: ast.AST) -> Iterator[Change]:
    """`<` for `<=`, `==` for `!=`, `in` for `not in` and back; in a chain, one at a time."""
    if isinstance(node, ast.Compare):
        for at, op in enumerate(node.ops):
            ops = [*node.ops[:at], OTHER_COMPARISON[type(op)](), *node.ops[at + 1 :]]
            yield "comparison", _with(node, ops=ops)


def number(node: ast.AST) -> Iterator[Change]:
    """A whole number one greater and one smaller; True for False and back."""
    if not isinstance(node, ast.Constant):
        return
    if isinstance(node.value, bool):
        yield "constant", ast.Constant(not node.value)
    elif isinstance(node.value, int):
        yield "number", ast.Constant(node.value + 1)
        yield "number", ast.Constant(node.value - 1)


def negation(node: ast.AST) -> Iterator[Change]:
    """The condition of an `if`, `while` or conditional expression, negated; a `not` left out."""
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not", node.operand


def condition(test: ast.expr) -> Iterator[Change]:
    """The negation of a condition, unless another change already is just that."""
    if isinstance(test, ast.UnaryOp) and isinstance(test.op, ast.Not):
        return
    if isinstance(test, ast.Compare) and len(test.ops) == 1 and isinstance(test.ops[0], WITH_NEGATION):
        return
    yield "not", ast.UnaryOp(ast.Not(), test)


def connective(node: ast.AST) -> Iterator[Change]:
    """`and` for `or` and back."""
    if isinstance(node, ast.BoolOp):
        yield "and, or", _with(node, op=ast.Or() if isinstance(node.op, ast.And) else ast.And())


def arithmetic(node: ast.AST) -> Iterator[Change]:
    """`+` for `-`, `*` for `//`, `<<` for `>>`, `&` for `|` and back; `*` for `%`."""
    if isinstance(node, (ast.BinOp, ast.AugAssign)) and type(node.op) in OTHER_SUM:
        yield "arithmetic", _with(node, op=OTHER_SUM[type(node.op)]())


def arguments(node: ast.AST) -> Iterator[Change]:
    """The first two arguments of a call exchanged; `min` for `max` and back."""
    if not isinstance(node, ast.Call):
        return
    if isinstance(node.func, ast.Name) and node.func.id in OTHER_NAME:
        yield "name", _with(node, func=ast.Name(OTHER_NAME[node.func.id]))
    elif len(node.args) > 1 and not any(isinstance(each, ast.Starred) for each in node.args[:2]):
        yield "arguments", _with(node, args=[node.args[1], node.args[0], *node.args[2:]])


def branches(node: ast.AST) -> Iterator[Change]:
    """The two values of a conditional expression exchanged."""
    if isinstance(node, ast.IfExp):
        yield "branches", _with(node, body=node.orelse, orelse=node.body)


def loop(node: ast.AST) -> Iterator[Change]:
    """`break` for `continue` and back."""
    if isinstance(node, ast.Break):
        yield "loop", ast.Continue()
    elif isinstance(node, ast.Continue):
        yield "loop", ast.Break()


def dropped(node: ast.AST) -> Iterator[Change]:
    """A statement left out: a call, a change of an attribute or an element, a `raise`, a `del`."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        yield "dropped", ast.Pass()
        yield "return", ast.Return()
    elif isinstance(node, (ast.AugAssign, ast.Raise, ast.Delete)) or _changes_an_object(node):
        yield "dropped", ast.Pass()


def _changes_an_object(node: ast.AST) -> bool:
    return isinstance(node, ast.Assign) and not isinstance(node.targets[0], (ast.Name, ast.Tuple))


def returned(node: ast.AST) -> Iterator[Change]:
    """A function's value replaced by None; False is not, whose truth is the same."""
    if isinstance(node, ast.Return) and node.value is not None and not _is_none_or_false(node.value):
        yield "return", ast.Return()


def _is_none_or_false(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and (node.value is None or node.value is False)


def chart_row(node: ast.AST) -> Iterator[tuple[ast.expr, Change]]:
    """A row of a `chart` left out, its guard removed, its guard turned; each with the node it replaces."""
    if (
        isinstance(node, ast.Assign)
        and isinstance(node.targets[0], ast.Name)
        and node.targets[0].id == "chart"
    ):
        for row in _rows_in(node.value):
            yield row, ("row", ast.Starred(ast.Tuple([])))
            guard = row.elts[4] if len(row.elts) == ROW_WITH_GUARD else None
            if isinstance(guard, ast.Constant) and isinstance(guard.value, str):
                yield row, ("guard", _with(row, elts=row.elts[:4]))
                yield guard, ("guard", ast.Constant(_turned(guard.value)))


def _rows_in(value: ast.expr) -> Iterator[ast.Tuple]:
    """The rows of a tuple of rows, or of a sum of such."""
    if isinstance(value, ast.BinOp):
        yield from _rows_in(value.left)
        yield from _rows_in(value.right)
    elif isinstance(value, ast.Tuple):
        yield from (row for row in value.elts if isinstance(row, ast.Tuple))


def _turned(guard: str) -> str:
    return guard.removeprefix("not ") if guard.startswith("not ") else f"not {guard}"


def span(node: ast.AST) -> Iterator[Change]:
    """A span that lasts longer or shorter by one step."""
    if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in SPANS:
        names = list(SPANS)
        at = names.index(node.id)
        for other in (at - 1, at + 1):
            if 0 <= other < len(names):
                yield "span", ast.Name(names[other])


Operator = Callable[[ast.AST], Iterator[Change]]
RULE_OPERATORS: tuple[Operator, ...] = (comparison, number, span)
"""What `inlane faults` changes in a game's rules, beside rows of charts."""
OPERATORS: tuple[Operator, ...] = (
    comparison,
    number,
    negation,
    connective,
    arithmetic,
    arguments,
    branches,
    loop,
    dropped,
    returned,
)


def changes(node: ast.AST, chosen: tuple[Operator, ...] = OPERATORS) -> Iterator[Change]:
    """Every change of one node alone, without those of the nodes inside it."""
    for operator in chosen:
        yield from operator(node)
