"""What rules keep, where, and how long: values with a span, no plain attributes; guards change nothing."""

import ast
from collections.abc import Iterator

from firmware.play.memory import BALL, PERSISTENT
from hil.checks.rules import Rule, of_self
from hil.checks.source import Finding

PLAIN = (bool, int, str, bytes, type(None))
CHANGES = frozenset(
    [
        "pay",
        "raise_",
        "post",
        "pulse",
        "play",
        "set",
        "light",
        "clear",
        "complete",
        "grow",
        "collect",
        "open",
        "open_for",
        "close",
        "start",
        "stop",
        "give",
        "news",
        "rotate_left",
        "rotate_right",
        "reset",
        "add",
    ]
)


def plain_attributes(rule: Rule) -> Iterator[Finding]:
    """A number that an action keeps in an attribute is shared by the players and is never reset."""
    for name, method in rule.methods().items():
        for node in ast.walk(method) if name in rule.actions() else ():
            target = _target(node)
            own = of_self(target) if target is not node else ""
            if own and isinstance(getattr(rule.feature, own, None), PLAIN):
                text = f"self.{own} is shared by all players and never reset; keep it in self.value('{own}')"
                yield from rule.note(node, text)


def _target(node: ast.AST) -> ast.AST:
    """What a statement sets, if it is one thing."""
    if isinstance(node, ast.AugAssign):
        return node.target
    return node.targets[0] if isinstance(node, ast.Assign) else node


def guards(rule: Rule) -> Iterator[Finding]:
    """A guard is asked, perhaps often or never: it only looks."""
    methods = rule.methods()
    for name in sorted(rule.guards() & set(methods)):
        for node in ast.walk(methods[name]):
            what = _changed(rule, node)
            if what:
                text = f"the guard '{name}' changes {what}; a guard only looks, an action changes"
                yield rule.finding(node, text)


def _changed(rule: Rule, node: ast.AST) -> str:
    target = _target(node)
    if target is not node and _of_rule(target):
        return ast.unparse(target)
    called = node.func if isinstance(node, ast.Call) else None
    if isinstance(called, ast.Attribute) and called.attr in CHANGES:
        ours = type(rule.held(called.value)).__module__.startswith("firmware.")
        if ours or (of_self(called) and called.attr == "news"):
            return f"something by {ast.unparse(called)}()"
    return ""


def _of_rule(target: ast.AST) -> bool:
    """Whether what is set is a part of `self`."""
    while isinstance(target, ast.Attribute | ast.Subscript):
        if of_self(target):
            return True
        target = target.value
    return False


def spans(rule: Rule) -> Iterator[Finding]:
    """Every value that the rule declared has a span that there is."""
    memory = rule.feature.play.memory
    for value in memory.values:
        if value.name.startswith(f"{rule.feature.name}.") and value.span not in range(BALL, PERSISTENT + 1):
            what = value.name.partition(".")[2]
            text = f"the value '{what}' has the span {value.span!r}; there are BALL, PLAYER, GAME, PERSISTENT"
            yield rule.finding(_declared(rule, what), text)


def _declared(rule: Rule, what: str) -> ast.AST:
    """The call that names the value, else the class."""
    named = (n for n in ast.walk(rule.kind) if isinstance(n, ast.Constant) and n.value == what)
    return next(named, rule.kind)


CHECKS = (plain_attributes, guards, spans)
