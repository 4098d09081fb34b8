"""Names that rules use: events at which they offer, and their own, which no switch has."""

import ast
from collections.abc import Iterator

from hil.checks.rules import Rule, constant, of_self
from hil.checks.source import Finding
from hil.likeness import near

DEVICES = ("firmware.cabinet.", "firmware.parts.")  # rules of these are called as their switches are


def offers(rule: Rule, raised: set[str]) -> Iterator[Finding]:
    """An offer is at a shot, or a group of shots, that somebody makes."""
    for node in ast.walk(rule.kind):
        if isinstance(node, ast.Call) and of_self(node.func) == "offer" and node.args:
            event = constant(node.args[0])
            if isinstance(event, str) and not any(f"{one}.".startswith(f"{event}.") for one in raised):
                text = f"'{rule.feature.name}' offers at the event '{event}', which nobody raises"
                yield from rule.note(node, text + near(event, raised))


def own_name(rule: Rule, switches: tuple[str, ...]) -> Iterator[Finding]:
    """A rule is not called as a switch or a group of switches is."""
    name = rule.feature.name
    if any(cls.__module__.startswith(DEVICES) for cls in type(rule.feature).__mro__):
        return
    taken = [switch for switch in switches if switch.startswith(f"{name}.")]
    for node in rule.kind.body:
        is_name = isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "name"
        if taken and is_name and isinstance(node, ast.Assign):
            text = f"the rule is called '{name}' as the switches {taken[0]} … are; give it a name of its own"
            yield from rule.note(node, text)
