"""What rules do with values, settings, awards, lamps, windows and events: each as its kind is used."""

import ast
from collections.abc import Callable, Iterator

from firmware.parts.window import Window
from firmware.play.claims import RAPID, Claim
from firmware.play.memory import Value
from firmware.play.rule_context import Signal
from firmware.play.score import Award
from firmware.play.settings import Setting
from hil.checks.rule_calls import points_problem
from hil.checks.rules import MISSING, SET_UP, Rule, constant, of_self
from hil.checks.source import Finding
from hil.likeness import near

SHORTEST = 100  # ms of a window; less is a number of seconds
NUMBERS = frozenset(("min", "max", "abs", "range", "int", "str", "divmod", "sum"))
PATTERNS = "NONE, ON, SLOW, FAST or RAPID (firmware.play.claims)"
COMPUTES = (ast.BinOp, ast.UnaryOp, ast.AugAssign, ast.BoolOp, ast.If, ast.While, ast.IfExp)


def without_value(rule: Rule) -> Iterator[Finding]:
    """A value or setting stands in a sum or comparison without its `.value`."""
    for parent in ast.walk(rule.kind):
        for node in _numbers(rule, parent):
            held = rule.held(node)
            if isinstance(held, Value | Setting):
                what = "setting" if isinstance(held, Setting) else "value"
                name = of_self(node)
                yield rule.finding(
                    node, f"self.{name} is a handle on the {what}; its number is self.{name}.value"
                )


def _numbers(rule: Rule, parent: ast.AST) -> list[ast.expr]:
    """The parts of an expression or statement that have to be numbers."""
    if isinstance(parent, ast.Compare):
        if any(isinstance(each, ast.Is | ast.IsNot | ast.In | ast.NotIn) for each in parent.ops):
            return []
        return [parent.left, *parent.comparators]
    if isinstance(parent, ast.Call):
        name = parent.func.id if isinstance(parent.func, ast.Name) else ""
        known = name in NUMBERS or of_self(parent.func) == "news"
        return parent.args if known or _is_handle(rule, parent.func) else []
    if isinstance(parent, COMPUTES):
        return [node for node in ast.iter_child_nodes(parent) if isinstance(node, ast.expr)]
    return []


def _is_handle(rule: Rule, called: ast.expr) -> bool:
    return isinstance(called, ast.Attribute) and isinstance(rule.held(called.value), Award | Window)


def replaced(rule: Rule) -> Iterator[Finding]:
    """A value is replaced by a number, where its `.value` was to be set."""
    for name, method in rule.methods().items():
        for node in ast.walk(method) if name not in SET_UP else ():
            for target in node.targets if isinstance(node, ast.Assign) else ():
                if isinstance(rule.held(target), Value | Setting):
                    own = of_self(target)
                    yield rule.finding(target, f"self.{own} is the handle; set its number: self.{own}.value")


def calls(rule: Rule) -> Iterator[Finding]:
    """Calls of handles are given what they take."""
    for node in ast.walk(rule.kind):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            held, method = rule.held(node.func.value), node.func.attr
            for kind, name, check in CALLS:
                if isinstance(held, kind) and method == name:
                    words = f"self.{of_self(node.func.value)}.{method}"
                    yield from (rule.finding(node, f"{words} {text}") for text in check(rule, node, held))


def _set(_rule: Rule, node: ast.Call, _held: object) -> Iterator[str]:
    given = node.args[0] if node.args else None
    for one in (given.body, given.orelse) if isinstance(given, ast.IfExp) else [given]:
        value = constant(one) if one is not None else MISSING
        if value is not MISSING and not (isinstance(value, int) and 0 <= value <= RAPID):
            yield f"takes {PATTERNS}, not {value!r}"


def _pay(_rule: Rule, node: ast.Call, _held: object) -> Iterator[str]:
    value = constant(node.args[0]) if node.args else MISSING
    problem = points_problem(value) if value is not MISSING else ""
    if problem:
        yield problem


def _open(_rule: Rule, _node: ast.Call, held: object) -> Iterator[str]:
    if isinstance(held, Window) and not held.length:
        yield "opens a window that has no seconds; write Window(self, seconds=14, …), or open_for(14_000)"


def _open_for(rule: Rule, node: ast.Call, _held: object) -> Iterator[str]:
    given = node.args[0] if node.args else node
    value = constant(given)
    setting = rule.held(given.value) if isinstance(given, ast.Attribute) else MISSING
    if isinstance(setting, Setting) and setting.unit == "s":
        mend = f"{ast.unparse(given)} * 1000"
        yield f"takes milliseconds, and the setting '{setting.name}' counts seconds: {mend}"
    elif isinstance(value, int) and value < SHORTEST:
        yield f"takes milliseconds, {SHORTEST} at least, not {value}; seconds are thousands: 8_000"


def _post(rule: Rule, node: ast.Call, _held: object) -> Iterator[str]:
    methods = rule.methods()
    for name in rule.actions() & set(methods):
        if node in ast.walk(methods[name]):
            yield "is for clocks alone; an action raises its event: raise_()"


CallCheck = Callable[[Rule, ast.Call, object], Iterator[str]]
CALLS: tuple[tuple[type, str, CallCheck], ...] = (
    (Claim, "set", _set),
    (Award, "pay", _pay),
    (Window, "open", _open),
    (Window, "open_for", _open_for),
    (Signal, "post", _post),
)


def unknown(rule: Rule) -> Iterator[Finding]:
    """What is asked of a handle, or of `self.play`, is there."""
    for node in ast.walk(rule.kind):
        if not isinstance(node, ast.Attribute) or not isinstance(node.ctx, ast.Load):
            continue
        held = rule.held(node.value)
        ours = type(held).__module__.startswith("firmware.")
        if (
            held is not MISSING
            and ours
            and not hasattr(held, node.attr)
            and not _is_declared(held, node.attr)
        ):
            known = [name for name in dir(held) if not name.startswith("_")]
            text = f"{ast.unparse(node.value)} is a {type(held).__name__}, which has no '{node.attr}'"
            yield rule.finding(node, text + near(node.attr, known))


def _is_declared(held: object, name: str) -> bool:
    """Whether a class says that its objects will have the attribute."""
    return any(name in vars(cls).get("__annotations__", {}) for cls in type(held).__mro__)


def states(rule: Rule) -> Iterator[Finding]:
    """`is_in` asks for states of the chart."""
    known = list(rule.feature._ids)  # there is no public way: a board never asks for them all
    for node in ast.walk(rule.kind):
        if isinstance(node, ast.Call) and of_self(node.func) == "is_in" and node.args:
            name = constant(node.args[0])
            if known and isinstance(name, str) and name not in known:
                advice = near(name, known) or f"; it has {', '.join(known)}"
                yield rule.finding(node, f"the chart of '{rule.feature.name}' has no state '{name}'{advice}")


def unbound(rule: Rule) -> Iterator[Finding]:
    """Parts that need it are bound at the end of set-up, and so is the rule itself."""
    bind = rule.methods().get("bind")
    if bind is not None and "super().bind()" not in ast.unparse(bind):
        yield rule.finding(bind, f"{rule.kind.name}.bind does not call super().bind() first")
    for node in ast.walk(rule.kind):
        for target in node.targets if isinstance(node, ast.Assign) else ():
            held = rule.held(target)
            part = type(held).__module__.startswith("firmware.parts.")
            if part and callable(getattr(held, "bind", None)) and not _binds(rule, of_self(target)):
                text = f"self.{of_self(target)} has to be bound: def bind(self): super().bind(), then"
                yield rule.finding(target, f"{text} self.{of_self(target)}.bind()")


def _binds(rule: Rule, name: str) -> bool:
    return any(
        isinstance(node, ast.Attribute) and node.attr == "bind" and of_self(node.value) == name
        for node in ast.walk(rule.kind)
    )


CHECKS = (without_value, replaced, calls, unknown, states, unbound)
