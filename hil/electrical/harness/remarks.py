"""Findings about the lines of a harness; what is the same of many lines is one sentence."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from hil.electrical.harness.reading import Item

SHOWN = 3  # names of a group


@dataclass(frozen=True)
class Finding:
    """One sentence about a line, or about several of one kind; `where` is the first of them.

    While a finding that is `refused` stands no table is written; one of `power` speaks of energising a coil
    alone, so the machine file is written and the coil stays off.
    """

    text: str
    where: str
    refused: bool
    power: bool = False

    def __str__(self) -> str:
        return f"{self.where}: {'' if self.refused else 'note: '}{self.text}"


class Remark(NamedTuple):
    """What is said of one line: `words` follow its kind and name, or are a whole sentence that names it."""

    item: Item
    words: str
    refused: bool
    power: bool = False
    whole: bool = False


def grouped(remarks: Iterable[Remark]) -> list[Finding]:
    """One finding for each sentence; of several lines it names the first few, and how many there are."""
    groups: dict[tuple[str, str, bool, bool], list[Remark]] = {}
    for one in remarks:
        words = one.words.replace(f"'{one.item.name}'", "{}") if one.whole else one.words
        groups.setdefault((one.item.kind, words, one.refused, one.whole), []).append(one)
    return [
        Finding(_text(group), group[0].item.where, group[0].refused, group[0].power)
        for group in groups.values()
    ]


def _text(group: list[Remark]) -> str:
    first = group[0]
    names = list(dict.fromkeys(one.item.name for one in group))
    if first.whole:
        others = f"; the same holds of {_listed(names[1:])}" if len(names) > 1 and _named(first) else ""
        return first.words + others
    if len(group) == 1:
        return f"{first.item.kind} '{first.item.name}' {first.words}"
    return f"{len(group)} {first.item.kind}s ({_listed(names)}): each {first.words}"


def _named(remark: Remark) -> bool:
    return f"'{remark.item.name}'" in remark.words


def _listed(names: list[str]) -> str:
    if len(names) <= SHOWN + 1:
        return ", ".join(f"'{name}'" for name in names)
    return ", ".join(f"'{name}'" for name in names[:SHOWN]) + f" … '{names[-1]}'"
