"""What rules do to each other: they light and win one another, raise events, play cues."""

import re
from dataclasses import dataclass, replace
from typing import cast

from hil.authoring.errors import DescriptionError, near_miss
from hil.authoring.facts import Facts
from hil.authoring.kind import Scope
from hil.authoring.words import joined, spoken
from hil.authoring.work import Work


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


def join(works: list[Work], facts: Facts, scope: Scope) -> None:
    """What a rule lights or wins becomes an event that it raises."""
    names = {work.rule.name: work for work in works}
    for work in works:
        signals = [Signal("_done", f"{work.rule.name}.done", "  # meant: for other rules", carries=True)]
        for verb in ("light", "win"):
            for name in _listed(work, f"{verb}s"):
                signals.append(_signal(work, verb, name, names, facts))
                if name in names:
                    names[name].rule.values.setdefault(f"{verb}_by_rule", scope.shots.find(work.rule.name))
        signals += [_raised(name, facts) for name in _listed(work, "raises")]
        signals += [Signal("_cue", name, is_cue=True) for name in _listed(work, "cue")]
        work.rule.values["signals"] = signals


def effects(work: Work) -> str:
    """What a rule lights and wins, in words; "" for a kind that says so itself."""
    if "says_effects" in work.rule.values:
        return ""
    said = [f"{verb}s the {spoken(name)}" for verb in ("light", "win") for name in _listed(work, f"{verb}s")]
    return joined(said)


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
        raise DescriptionError(
            f"'{verb}s' of rule '{work.block.title}' names '{name}', which waits for no '{event}'"
            f"{near_miss(name, able) or '; no rule does'}",
            work.block.entries[f"{verb}s"].where,
        )
    return Signal(f"_{verb}_{name}", event)


def carry(work: Work) -> None:
    """What the rule raises goes with its number, where its kind has one."""
    values = work.rule.values
    if values.get("done_value"):
        signals, carried = cast("list[Signal]", values["signals"]), str(values["done_value"])
        values["signals"] = [replace(one, value=carried) if one.carries else one for one in signals]
