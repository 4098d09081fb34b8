"""One described rule on its way into a game: its fields read by its kind."""

import re
from dataclasses import dataclass, field
from functools import cache

from hil.authoring.description import Block
from hil.authoring.draft import Draft
from hil.authoring.errors import DescriptionError
from hil.authoring.kind import Field, Kind, Rule, Scope
from hil.authoring.kinds import KINDS, find
from hil.authoring.values import Each, Shot
from hil.authoring.words import as_class, shown

STATE = re.compile(r'^(?:[?!*][a-z_.]+\|)? {8}\("(\w+)", ', re.MULTILINE)


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

    def shots(self) -> list[Shot]:
        """Every shot that its fields name."""
        found: list[Shot] = []
        for each in self.kind.fields:
            value = self.rule.values[each.name]
            for one in value if isinstance(value, list) else [value]:
                shot = one.shot if isinstance(one, Each) else one
                found += [shot] if isinstance(shot, Shot) else []
        return found


def begin_work(block: Block, scope: Scope, draft: Draft) -> Work:
    """The rule with its fields read. Raises DescriptionError: a name or field that does not fit."""
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


@cache
def state_names() -> frozenset[str]:
    """The names of states in the templates: no rule may have one of them."""
    texts = [text for kind in KINDS for name, text in kind.sections().items() if name == "feature"]
    return frozenset(name for text in texts for name in STATE.findall(text))
