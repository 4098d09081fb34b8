"""Makes rules of descriptions: every file of every rule, kept in a draft until all of them are right."""

import re
from dataclasses import dataclass, field, replace
from functools import cache
from typing import cast

from hil.authoring import edits, machine, template
from hil.authoring.description import Block
from hil.authoring.draft import Draft
from hil.authoring.errors import DescriptionError
from hil.authoring.facts import Facts, gather, learn
from hil.authoring.kind import Field, Kind, Rule, Scope
from hil.authoring.kinds import KINDS, find
from hil.authoring.shots import Shots
from hil.authoring.tidy import tidy
from hil.authoring.values import Shot
from hil.authoring.words import as_class, sentence, shown

TYPES = (
    ("Page", "firmware.play.pages"),
    ("RuleContext", "firmware.play.rule_context"),
)
COLOUR = "amber"  # of the lamps that rules need
SCRIPT = "script "
STATE = re.compile(r'^(?:[?!*][a-z_.]+\|)? {8}\("(\w+)", ', re.MULTILINE)


@dataclass(frozen=True)
class Signal:
    """What a rule does besides paying when it is made: raises an event, or plays a cue."""

    attr: str
    event: str
    remark: str = ""
    value: str = ""
    """What it is raised with, as code; "" for nothing."""
    is_cue: bool = False
    carries: bool = False
    """Whether the rule's number (its multiplier, how often it was made) goes with it."""

    @property
    def declared(self) -> str:
        """The line of `__init__`."""
        made = "cue" if self.is_cue else "event"
        return f'self.{self.attr} = self.{made}("{self.event}"){self.remark}'

    @property
    def call(self) -> str:
        """The line that does it."""
        return f"self.{self.attr}.play()" if self.is_cue else f"self.{self.attr}.raise_({self.value})"


@dataclass
class Work:
    """One rule with its kind and templates, on its way into the draft."""

    block: Block
    kind: Kind
    rule: Rule
    opened: list[str]
    features: list[str] = field(default_factory=list)
    """The names of its features, once its file is written."""

    def values(self) -> dict[str, object]:
        """What its templates may name."""
        return {"rule": self.rule, **self.rule.values}


def compose(draft: Draft, blocks: list[Block]) -> list[str]:
    """Put every described rule into the draft; what could not be written, a sentence each.

    Raises DescriptionError: a field or name that does not fit, a file or feature that is there already.
    """
    facts = gather(draft)
    scope = Scope(facts, Shots(facts, draft, [block.name for block in blocks]))
    works = [_work(block, scope, draft) for block in blocks]
    _light_each_other(works, facts, scope)
    for work in works:
        lit = work.rule.values.get("lit_by")
        if work.kind.name == "timed factor" and isinstance(lit, Shot):
            scope.doubling.update(lit.switches)
    for work in works:
        _derive(work, scope)
        _write_feature(work, draft, facts)
    if machine.is_described(draft):
        machine.remake(draft)
    return _write_scripts(works, draft)


def _work(block: Block, scope: Scope, draft: Draft) -> Work:
    kind = find(block.kind)
    if block.name in scope.facts.features:
        file = scope.facts.features[block.name]
        raise DescriptionError(f"the game has a feature '{block.name}' already, in {file}", block.where)
    if block.name in state_names():
        text = f"rule '{block.title}' has a name that charts have for a state; add a word to it"
        raise DescriptionError(text, block.where)
    switches = scope.facts.under(block.name)
    if switches:
        text = (
            f"rule '{block.title}' has the name of the switch '{switches[0]}'; events would be taken for it"
        )
        raise DescriptionError(f"{text}: call it '{block.title} rule' or the like", block.where)
    rule = Rule(block.name, _class_name(block, kind, draft), block.title, shown(block.title))
    work = Work(block, kind, rule, [])
    for each in kind.fields:
        rule.values[each.name] = _value(work, each, scope)
    return work


def _class_name(block: Block, kind: Kind, draft: Draft) -> str:
    """A class's name that neither game.py nor the rule's own file imports already."""
    cls = as_class(block.name)
    imports = f"{draft.read('game.py')}\n{kind.sections()['feature']}"
    taken = re.search(rf"^from .* import .*\b{cls}\b", imports, re.MULTILINE)
    return cls + "Rule" * bool(taken)


def _value(work: Work, each: Field, scope: Scope) -> object:
    entry = work.block.entries.get(each.key)
    if entry is None and each.usual is None:
        text = f"rule '{work.block.title}' does not say '{each.key}'; a {work.kind.name} needs it"
        raise DescriptionError(text, work.block.where)
    if entry is None and not each.usual:
        return None
    text = entry.text if entry else str(each.usual).format(name=work.rule.name)
    if entry is None and each.marked:
        work.opened.append(f"# open: '{each.key}' was not said; {text} stands in for it")
    try:
        return each.read(text, scope)
    except ValueError as error:
        where = entry.where if entry else work.block.where
        raise DescriptionError(f"'{each.key}' of rule '{work.block.title}' {error}", where) from None


def _light_each_other(works: list[Work], facts: Facts, scope: Scope) -> None:
    """What a rule lights or wins becomes an event that it raises."""
    names = {work.rule.name: work for work in works}
    for work in works:
        signals = [Signal("_done", f"{work.rule.name}.done", "  # meant: for other rules", carries=True)]
        for verb in ("light", "win"):
            for name in str(work.rule.values.get(f"{verb}s") or "").split(", "):
                if name:
                    signals.append(_signal(work, verb, name, names, facts))
                    if name in names:
                        names[name].rule.values.setdefault(
                            f"{verb}_by_rule", scope.shots.find(work.rule.name)
                        )
        signals += [_raised(name, facts) for name in _listed(work, "raises")]
        signals += [Signal("_cue", name, is_cue=True) for name in _listed(work, "cue")]
        work.rule.values["signals"] = signals


def _listed(work: Work, key: str) -> list[str]:
    """The names of a field that may have several."""
    return [name for name in str(work.rule.values.get(key) or "").split(", ") if name]


def _raised(name: str, facts: Facts) -> Signal:
    """An event of any name; one that nobody hears yet is marked, so that a check lets it be."""
    heard = any(name == word or name.startswith(word + ".") for word in facts.heard)
    remark = "" if heard else "  # meant: for rules to come"
    return Signal("_" + re.sub(r"\W", "_", name), name, remark, carries=True)


def _signal(work: Work, verb: str, name: str, names: dict[str, Work], facts: Facts) -> Signal:
    event = f"{name}.{verb}"
    takes = name in names and verb in names[name].kind.hears
    if not takes and event not in facts.heard:
        able = [n for n, other in names.items() if verb in other.kind.hears]
        able += [word.removesuffix(f".{verb}") for word in facts.heard if word.endswith(f".{verb}")]
        from hil.authoring.errors import near_miss

        raise DescriptionError(
            f"'{verb}s' of rule '{work.block.title}' names '{name}', which waits for no '{event}'"
            f"{near_miss(name, able) or '; no rule does'}",
            work.block.entries[f"{verb}s"].where,
        )
    return Signal(f"_{verb}_{name}", event)


def _derive(work: Work, scope: Scope) -> None:
    rule, values = work.rule, work.rule.values
    try:
        work.kind.derive(rule, scope)
    except ValueError as error:
        raise DescriptionError(f"rule '{rule.title}' {error}", work.block.where) from None
    if values.get("done_value"):
        signals = cast("list[Signal]", values["signals"])
        carried = str(values["done_value"])
        values["signals"] = [replace(one, value=carried) if one.carries else one for one in signals]
    if values.get("shows"):
        rule.display = shown(str(values["shows"]))
    shots = [value for value in values.values() if isinstance(value, Shot)]
    values.setdefault("freeze", scope.shots.freeze(shots))
    parts = work.kind.sections()
    rule.card = sentence(
        str(values.get("card") or template.fill(parts["card"], work.values()).replace("\n", " "))
    )
    rule.sheet = sentence(template.fill(parts["rules"], work.values()).replace("\n", " "))


def _write_feature(work: Work, draft: Draft, facts: Facts) -> None:
    rule, parts = work.rule, work.kind.sections()
    body = template.fill(parts["feature"], work.values())
    if work.opened:
        body = body.replace("\n\n\nclass ", "\n\n\n" + "\n".join(work.opened) + "\nclass ", 1)
    source = f'"""{rule.title}: {work.kind.about}."""\n\n{body.rstrip()}\n'
    draft.add(f"features/{rule.name}.py", tidy(source + _types(body)))
    file = f"features/{rule.name}.py"
    learn(facts, draft, file)
    work.features = sorted(name for name, where in facts.features.items() if where == file)
    classes = cast("tuple[str, ...]", rule.values.get("classes", (rule.cls,)))
    edits.add_features(draft, rule.name, classes, work.kind.last)
    for module, name in cast("tuple[tuple[str, str], ...]", rule.values.get("cabinet", ())):
        edits.add_cabinet(draft, module, name)
    for name in cast("tuple[str, ...]", rule.values.get("replaces", ())):
        edits.remove_cabinet(draft, name)
    if work.kind.saves:
        edits.add_saver(draft, rule.name)
    edits.add_lamps(draft, facts, _wanted_lamps(work), COLOUR)
    for row in str(parts.get("settings", "")).splitlines():
        setting = template.fill(row, work.values())
        if setting:
            edits.add_setting(draft, facts, setting)
    edits.add_rule_line(draft, rule.title, rule.sheet)


def _types(body: str) -> str:
    """The imports that only type checkers read."""
    lines = [f"    from {module} import {name}" for name, module in TYPES if f'"{name}"' in body]
    return "\n".join(["\n\n\nTYPE_CHECKING = False", "if TYPE_CHECKING:", *lines, ""]) if lines else ""


def _wanted_lamps(work: Work) -> list[str]:
    """The lamps that its own source asks for, and those of its switches where the part lights them."""
    lamps = cast("list[str]", work.rule.values.get("lamps", []))
    own = work.rule.values.get("lamp")
    return [*([str(own)] if own else []), *lamps]


def _write_scripts(works: list[Work], draft: Draft) -> list[str]:
    """Every script of every rule; those that need to know how another rule is made come after its own."""
    left = [(work, name) for work in works for name in work.kind.sections() if name.startswith(SCRIPT)]
    problems: list[str] = []
    while left:
        waiting = []
        problems = []
        for work, heading in left:
            try:
                _write_script(work, heading, draft)
            except LookupError as error:
                waiting.append((work, heading))
                problems.append(f"no script {_script_name(work, heading)}: {error.args[0]}")
        if len(waiting) == len(left):
            break
        left = waiting
    return problems if left else []


def _script_name(work: Work, heading: str) -> str:
    return f"scripts/{work.rule.name}_{heading.removeprefix(SCRIPT).split()[0]}.play"


def _write_script(work: Work, heading: str, draft: Draft) -> None:
    """A script, unless a condition of its heading, such as `?freeze`, does not hold."""
    values = work.values()
    words = heading.removeprefix(SCRIPT).split()
    for condition in words[1:]:
        if bool(template.look_up(values, condition[1:])) != (condition[0] == "?"):
            return
    text = template.fill(work.kind.sections()[heading], values)
    title, _, rest = text.partition("\n")
    head = f"title   {title}\ncovers  {', '.join(work.features)}\n"
    draft.add(_script_name(work, heading), head + rest.rstrip("\n") + "\n")


@cache
def state_names() -> frozenset[str]:
    """The names of states in the templates: no rule may have one of them."""
    texts = [text for kind in KINDS for name, text in kind.sections().items() if name == "feature"]
    return frozenset(name for text in texts for name in STATE.findall(text))


def kinds_and_fields() -> dict[str, tuple[str, ...]]:
    """The fields of every kind."""
    return {kind.name: kind.keys for kind in KINDS}
