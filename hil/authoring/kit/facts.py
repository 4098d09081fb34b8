"""What the features of an example ask for at set-up: found by building them, not by reading their source."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Protocol

from firmware.charts.model import After
from firmware.play.claims import CABINET, LOW, RULE, SHOW, WINDOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL, GAME, PERSISTENT, PLAYER
from firmware.play.rule_context import RuleContext
from hil.authoring.kit import console
from hil.authoring.kit.parts import Part

PRIORITIES = {LOW: "LOW", RULE: "RULE", SHOW: "SHOW", WINDOW: "WINDOW", CABINET: "CABINET"}
SPANS = {BALL: "BALL", PLAYER: "PLAYER", GAME: "GAME", PERSISTENT: "PERSISTENT"}
Words = Callable[[tuple[object, ...]], str]


class Method(Protocol):
    """Any method."""

    def __call__(self, *args: object) -> object:
        """Its result."""


def _first(args: tuple[object, ...]) -> str:
    return str(args[0])


def _lamp(args: tuple[object, ...]) -> str:
    return f"{args[0]} ({PRIORITIES[_number(args[1])]})"


def _value(args: tuple[object, ...]) -> str:
    return f"{args[1]} ({SPANS[_number(args[3])]})"


def _award(args: tuple[object, ...]) -> str:
    return f"{args[0]}.{args[1]}"


def _number(value: object) -> int:
    assert isinstance(value, int)
    return value


# Whose method is watched, the kind of name that its call gives, and the words for it.
WATCHED: tuple[tuple[str, str, str, Words], ...] = (
    ("lamps", "claim", "lamps", _lamp),
    ("coils", "coil", "coils", _first),
    ("coils", "optional", "coils", _first),
    ("cues", "cue", "cues", _first),
    ("score", "award", "awards", _award),
    ("memory", "value", "values", _value),
    ("settings", "get", "settings", _first),
    ("", "event", "raises", _first),
    ("", "find", "needs", _first),
)
KINDS = ("hears", *dict.fromkeys(kind for _owner, _method, kind, _words in WATCHED))


@dataclass
class Facts:
    """The names that were asked for, by kind, each once in their order; and the features."""

    features: list[Feature] = field(default_factory=list)
    names: dict[str, list[str]] = field(default_factory=lambda: {kind: [] for kind in KINDS})

    def add(self, kind: str, name: str) -> None:
        """Record a name once."""
        if name not in self.names[kind]:
            self.names[kind].append(name)


def facts_of(part: Part) -> Facts:
    """What a part's example asks for. Raises GameError: it cannot be built."""
    return facts_of_features(console.features_of(part))


def facts_of_features(features: list[type[Feature]]) -> Facts:
    """What these features ask for in the machine of the examples. Raises GameError: they cannot be built."""
    facts = Facts()
    console.console([(each.name, _recorded(each, facts)) for each in features])
    for feature in facts.features:
        for row in feature.chart:
            if isinstance(row[1], str):
                for name in row[1].split():
                    facts.add("hears", name)
            elif isinstance(row[1], After):
                facts.add("hears", f"after {row[1].ms} ms")
    return facts


def _recorded(make: type[Feature], facts: Facts) -> console.Make:
    def build(play: RuleContext) -> Feature:
        with _watching(play, facts):
            feature = make(play)
        facts.features.append(feature)
        bind = feature.bind

        def watched_bind() -> None:
            with _watching(play, facts):
                bind()

        setattr(feature, bind.__name__, watched_bind)
        return feature

    return build


@contextmanager
def _watching(play: RuleContext, facts: Facts) -> Iterator[None]:
    owners = [getattr(play, owner) if owner else play for owner, *_ in WATCHED]
    for owner, (_name, method, kind, words) in zip(owners, WATCHED, strict=True):
        setattr(owner, method, _watched(getattr(owner, method), facts, kind, words))
    try:
        yield
    finally:
        for owner, (_name, method, _kind, _words) in zip(owners, WATCHED, strict=True):
            delattr(owner, method)


def _watched(method: Method, facts: Facts, kind: str, words: Words) -> Method:
    def record(*args: object) -> object:
        facts.add(kind, words(args))
        return method(*args)

    return record
