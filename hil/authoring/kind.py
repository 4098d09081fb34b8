"""What a kind of rule is: its fields, its questions, its templates."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib import resources

from hil.authoring import template
from hil.authoring.errors import near_miss
from hil.authoring.facts import Facts
from hil.authoring.shots import Shots
from hil.authoring.values import (
    Each,
    Shot,
    choice,
    each_of,
    milliseconds,
    number,
    numbers,
    points,
    seconds,
    several_points,
    text_of,
    two_seconds,
    whole,
)


@dataclass
class Scope:
    """What a field may name: the game's facts, and how its shots are found."""

    facts: Facts
    shots: Shots
    doubling: set[str] = field(default_factory=set)
    """Switches that start a factor: in a script what they pay comes last."""


Reader = Callable[[str, Scope], object]


@dataclass(frozen=True)
class Field:
    """One line of a description. `ask` is its question; without `usual` it has to be answered.

    `usual` is the text that stands in for what was left open, "" when nothing does; `marked`: say so in
    the file that is written.
    """

    key: str
    ask: str
    read: Reader
    usual: str | None = None
    marked: bool = False

    @property
    def name(self) -> str:
        """What templates call it."""
        return self.key.replace(" ", "_").replace("-", "_")


@dataclass
class Rule:
    """A described rule on its way into a game: templates see its names."""

    name: str
    cls: str
    title: str
    display: str = ""
    card: str = ""
    sheet: str = ""
    values: dict[str, object] = field(default_factory=dict)


def refuse_same(rule: Rule, one: str, other: str) -> None:
    """Two fields that wait for the same shot: only one of them could ever answer. Raises ValueError."""
    first, second = rule.values.get(one), rule.values.get(other)
    if isinstance(first, Shot) and isinstance(second, Shot):
        shared = set(first.event.split()) & set(second.event.split())
        if shared:
            name = next(iter(sorted(shared))).removeprefix("made.")
            both = f"'{one.replace('_', ' ')}' and '{other.replace('_', ' ')}'"
            raise ValueError(f"has '{name}' for {both}; give one of them another shot")


@dataclass(frozen=True)
class Kind:
    """A kind of rule. `derive` adds what its templates need; `scripts` names more files with scripts."""

    name: str
    about: str
    fields: tuple[Field, ...]
    derive: Callable[["Rule", Scope], None] = lambda rule, scope: None
    scripts: tuple[str, ...] = ()
    last: str = ""
    """Why rules of this kind stand behind all others; "" for those that do not."""
    saves: bool = False
    """Whether it gives drained balls back."""
    hears: tuple[str, ...] = ()
    """What others may do to it: "light", "win"."""

    @property
    def keys(self) -> tuple[str, ...]:
        """The fields that a description may have."""
        return tuple(each.key for each in self.fields)

    def sections(self) -> dict[str, str]:
        """The templates by their headings."""
        found: dict[str, str] = {}
        for name in (self.name.replace(" ", "_").replace("-", "_"), *self.scripts):
            text = resources.files("hil.authoring.kinds").joinpath(f"{name}.txt").read_text(encoding="utf-8")
            found.update(template.sections(text))
        return found


def _plain(read: Callable[[str], object]) -> Reader:
    return lambda text, scope: read(text)


def _each(text: str, scope: Scope) -> object:
    return [Each(points(amount), scope.shots.find(name)) for amount, name in each_of(text)]


def EVENTS(text: str, scope: Scope) -> object:
    """Names of events: small letters, digits, _ and dots."""
    for name in text.split(", "):
        if not re.fullmatch(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+)*", name):
            raise ValueError(f"takes names of events such as bank.done, not '{name}'")
    return text


def _lamp(text: str, scope: Scope) -> object:
    if not all(part.isidentifier() or part.isdigit() for part in text.split(".")):
        raise ValueError(f"takes a lamp's name such as pollen or rung.1, not '{text}'")
    return text


def LAMPS(text: str, scope: Scope) -> object:
    """Names of lamps, each once, with commas between."""
    names = [str(_lamp(name.strip(), scope)) for name in text.split(",")]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"names '{name}' twice")
    return names


def _coil(text: str, scope: Scope) -> object:
    if text not in scope.facts.coils:
        raise ValueError(f"names '{text}', which is no coil{near_miss(text, scope.facts.coils)}")
    return text


POINTS, SEVERAL, SECONDS, MS = map(_plain, (points, several_points, seconds, milliseconds))
TWO_SECONDS, NUMBERS, TEXT = map(_plain, (two_seconds, numbers, text_of))
EACH, LAMP, COIL = _each, _lamp, _coil
POINTS_OR_NONE = _plain(lambda text: 0 if text == "nothing" else points(text))


def SHOT(text: str, scope: Scope) -> object:
    """One shot, or any of several."""
    return scope.shots.find(text)


def SHOTS(text: str, scope: Scope) -> object:
    """Shots in their order."""
    return scope.shots.each(text)


@dataclass(frozen=True)
class Once:
    """What a rule does when it is made for the `count`-th time: it lights or wins another rule."""

    count: int
    verb: str
    name: str


@dataclass(frozen=True)
class Several:
    """So many of a shot."""

    count: int
    shot: Shot


def SEVERAL_OF(text: str, scope: Scope) -> object:
    """A number and a shot: "5 spinner"."""
    found = re.fullmatch(r"(\d+) (.+)", text)
    if not found:
        raise ValueError(f"takes a number and a shot, such as 5 spinner, not '{text}'")
    return Several(whole(found[1], 2, 1000), scope.shots.find(found[2]))


def ONCE(text: str, scope: Scope) -> object:
    """A number, then "light" or "win" and a rule: "3 light extra_ball"."""
    found = re.fullmatch(r"(\d+) (light|win) (\S+)", text)
    if not found:
        raise ValueError(f"takes a number and what is done then, such as 3 light extra_ball, not '{text}'")
    return Once(whole(found[1], 1, 100), found[2], found[3])


def DEED(text: str, scope: Scope) -> object:
    """ "light" or "win" and a rule: "win honey_jar"."""
    found = re.fullmatch(r"(light|win) (\S+)", text)
    if not found:
        raise ValueError(f"takes what is done then, such as win honey_jar, not '{text}'")
    return Once(1, found[1], found[2])


def ROW(text: str, scope: Scope) -> object:
    """Switches side by side."""
    return scope.shots.row(text)


def ONE_OF(*words: str) -> Reader:
    """One of some words."""
    return _plain(choice(*words))


def NUMBER(least: int, most: int) -> Reader:
    """A whole number in a range."""
    return _plain(number(least, most))
