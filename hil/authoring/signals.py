"""What rules do to each other: they light and win one another, raise events, play cues."""

import re
from dataclasses import replace
from typing import cast

from hil.authoring.errors import DescriptionError, near_miss
from hil.authoring.facts import Facts
from hil.authoring.kind import Once, Scope
from hil.authoring.signal import Signal
from hil.authoring.values import Shot
from hil.authoring.words import joined, spoken
from hil.authoring.work import Work


def join(works: list[Work], facts: Facts, scope: Scope) -> None:
    """What a rule lights or wins becomes an event that it raises."""
    names = {work.rule.name: work for work in works}
    for work in works:
        signals = [Signal("_done", f"{work.rule.name}.done", "  # meant: for other rules", carries=True)]
        for verb in ("light", "win"):
            for name in _listed(work, f"{verb}s"):
                signals.append(_signal(work, f"{verb}s", verb, name, names, facts))
                _show_how(names.get(name), verb, scope.shots.find(work.rule.name))
        signals += [_raised(name, facts) for name in _listed(work, "raises")]
        signals += [Signal("_cue", name, is_cue=True) for name in _listed(work, "cue")]
        work.rule.values["signals"] = signals
        _counted(work, names, facts, scope)


def _counted(work: Work, names: dict[str, Work], facts: Facts, scope: Scope) -> None:
    """What a rule does by turns, or once when it was made often enough."""
    turns = []
    for number, name in enumerate(_listed(work, "by_turns"), 1):
        turns.append(_signal(work, "by turns", "light", name, names, facts))
        _show_how(names.get(name), "light", _several(scope.shots.find(work.rule.name), number))
    once = work.rule.values.get("at")
    if isinstance(once, Once):
        signal = _signal(work, "at", once.verb, once.name, names, facts)
        work.rule.values["once_signal"] = signal
        shot = replace(_several(scope.shots.find(work.rule.name), once.count), once=True)
        _show_how(names.get(once.name), once.verb, shot)
        work.rule.values["declared_besides"] = list(dict.fromkeys([*turns, signal]))
    else:
        work.rule.values["declared_besides"] = turns
    work.rule.values["turn_signals"] = turns
    first = work.rule.values.get("first_jackpot")
    if isinstance(first, Once):
        signal = _signal(work, "first jackpot", first.verb, first.name, names, facts)
        work.rule.values["first_signal"] = signal
        shot = scope.shots.find(work.rule.name)
        shot = replace(shot, how=scope.shots.raising(work.rule.name, signal.event))
        _show_how(names.get(first.name), first.verb, shot)


def _show_how(work: Work | None, verb: str, shot: Shot) -> None:
    """Scripts of a rule that another lights or wins do what makes that one."""
    if work:
        work.rule.values.setdefault(f"{verb}_by_rule", shot)


def _several(shot: Shot, times: int) -> Shot:
    """A shot made so often."""
    return replace(shot, how=lambda: "\n".join([shot.make] * times))


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


def _signal(work: Work, key: str, verb: str, name: str, names: dict[str, Work], facts: Facts) -> Signal:
    event = f"{name}.{verb}"
    takes = name in names and verb in names[name].kind.hears
    if not takes and event not in facts.heard:
        able = [n for n, other in names.items() if verb in other.kind.hears]
        able += [word.removesuffix(f".{verb}") for word in facts.heard if word.endswith(f".{verb}")]
        raise DescriptionError(
            f"'{key}' of rule '{work.block.title}' names '{name}', which waits for no '{event}'"
            f"{near_miss(name, able) or '; no rule does'}",
            work.block.entries[key].where,
        )
    return Signal(f"_{verb}_{name}", event, target=name)


def carry(work: Work) -> None:
    """What the rule raises goes with its number, where its kind has one."""
    values = work.rule.values
    if values.get("done_value"):
        signals, carried = cast("list[Signal]", values["signals"]), str(values["done_value"])
        values["signals"] = [replace(one, value=carried) if one.carries else one for one in signals]
