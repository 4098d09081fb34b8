"""Makes rules of descriptions: every file of every rule, kept in a draft until all of them are right."""

from typing import cast

from hil.authoring import edits, machine, script_files, signals, template
from hil.authoring.description import Block
from hil.authoring.draft import Draft
from hil.authoring.errors import DescriptionError
from hil.authoring.facts import Facts, gather, learn
from hil.authoring.kind import Scope
from hil.authoring.kinds import KINDS
from hil.authoring.shots import Shots
from hil.authoring.tidy import tidy
from hil.authoring.values import Shot
from hil.authoring.words import sentence, shown
from hil.authoring.work import Work, begin_work

TYPES = (
    ("Page", "firmware.play.pages"),
    ("RuleContext", "firmware.play.rule_context"),
)
COLOUR = "amber"  # of the lamps that rules need


def compose(draft: Draft, blocks: list[Block]) -> list[str]:
    """Put every described rule into the draft; what could not be written, a sentence each.

    Raises DescriptionError: a field or name that does not fit, a file or feature that is there already.
    """
    facts = gather(draft)
    scope = Scope(facts, Shots(facts, draft, [block.name for block in blocks]))
    works = [begin_work(block, scope, draft) for block in blocks]
    signals.join(works, facts, scope)
    scope.doubling.update(_doubling(works))
    for work in works:
        _derive(work, scope)
        _write_feature(work, draft, facts)
    if machine.is_described(draft):
        machine.remake(draft)
    return script_files.write(works, draft, facts)


def _doubling(works: list[Work]) -> set[str]:
    """The switches that start a factor."""
    lit = [work.rule.values["lit_by"] for work in works if work.kind.name == "timed factor"]
    return {switch for shot in lit if isinstance(shot, Shot) for switch in shot.switches}


def _derive(work: Work, scope: Scope) -> None:
    rule, values = work.rule, work.rule.values
    try:
        work.kind.derive(rule, scope)
    except ValueError as error:
        raise DescriptionError(f"rule '{rule.title}' {error}", work.block.where) from None
    signals.carry(work)
    if values.get("shows"):
        rule.display = shown(str(values["shows"]))
    shots = [value for value in values.values() if isinstance(value, Shot)]
    values.setdefault("freeze", scope.shots.freeze(shots))
    parts = work.kind.sections()
    rule.card = sentence(
        str(values.get("card") or template.fill(parts["card"], work.values()).replace("\n", " "))
    )
    rule.sheet = sentence(template.fill(parts["rules"], work.values()).replace("\n", " "))
    effects = signals.effects(work)
    if effects:
        rule.sheet += f" It {effects}."
        rule.card = rule.card if values.get("card") else f"{rule.card[:-1]}; this {effects}."


def _write_feature(work: Work, draft: Draft, facts: Facts) -> None:
    rule, parts = work.rule, work.kind.sections()
    body = template.fill(parts["feature"], work.values())
    if work.opened:
        body = body.replace("\n\n\nclass ", "\n\n\n" + "\n".join(work.opened) + "\nclass ", 1)
    source = f'"""{rule.title}: {work.kind.about}."""\n\n{body.rstrip()}\n'
    file = f"features/{rule.name}.py"
    draft.add(file, tidy(source + _types(body)))
    learn(facts, draft, file)
    own = sorted(name for name, where in facts.features.items() if where == file)
    work.features = [*own, *_shown_besides(work, facts)]
    facts.covered.update(work.features)
    _register(work, draft, facts)


def _register(work: Work, draft: Draft, facts: Facts) -> None:
    """Its place in the order and among the savers, its lamps, its settings, its line in the rule sheet."""
    rule = work.rule
    classes = cast("tuple[str, ...]", rule.values.get("classes", (rule.cls,)))
    edits.add_features(draft, rule.name, classes, work.kind.last)
    for module, name in cast("tuple[tuple[str, str], ...]", rule.values.get("cabinet", ())):
        edits.add_cabinet(draft, module, name)
    for name in cast("tuple[str, ...]", rule.values.get("replaces", ())):
        edits.remove_cabinet(draft, name)
    if work.kind.saves:
        edits.add_saver(draft, rule.name)
    edits.add_lamps(draft, facts, _wanted_lamps(work), COLOUR)
    for row in str(work.kind.sections().get("settings", "")).splitlines():
        setting = template.fill(row, work.values())
        if setting:
            edits.add_setting(draft, facts, setting)
    edits.add_rule_line(draft, rule.title, rule.sheet)


def _shown_besides(work: Work, facts: Facts) -> list[str]:
    """The devices whose events the rule hears, where no script covers them yet: its own scripts do."""
    heard = " ".join(shot.event for shot in work.shots()).split()
    events = [*(event.replace("made.", "entered.") for event in heard), *heard]
    raisers = dict.fromkeys(facts.raisers[event] for event in events if event in facts.raisers)
    return [name for name in raisers if name not in facts.covered]


def _types(body: str) -> str:
    """The imports that only type checkers read."""
    lines = [f"    from {module} import {name}" for name, module in TYPES if f'"{name}"' in body]
    return "\n".join(["\n\n\nTYPE_CHECKING = False", "if TYPE_CHECKING:", *lines, ""]) if lines else ""


def _wanted_lamps(work: Work) -> list[str]:
    """The lamps that its own source asks for, and those of its switches where the part lights them."""
    lamps = cast("list[str]", work.rule.values.get("lamps", []))
    own = work.rule.values.get("lamp")
    return [*([str(own)] if own else []), *lamps]


def kinds_and_fields() -> dict[str, tuple[str, ...]]:
    """The fields of every kind."""
    return {kind.name: kind.keys for kind in KINDS}
