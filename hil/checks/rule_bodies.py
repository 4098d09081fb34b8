"""What the methods of a game's rules do with what the rules declared: all checks of that kind."""

from collections.abc import Iterator

from hil.checks import handles, rule_memory, rule_names
from hil.checks.chart_events import HandleRecorder
from hil.checks.rules import rules_of
from hil.checks.source import Finding, Source


def rule_findings(source: Source, console: HandleRecorder) -> Iterator[Finding]:
    """Everything that is wrong or odd in the rules of a console that was set up and need not have begun."""
    raised = console.raised()
    for rule in rules_of(source, console):
        for check in (*handles.CHECKS, *rule_memory.CHECKS):
            yield from check(rule)
        yield from rule_names.offers(rule, raised)
        yield from rule_names.own_name(rule, console.switch_names)
