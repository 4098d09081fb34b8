"""What a game has, read from its files as text: switches, lamps, coils, features, events."""

import ast
import importlib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from firmware.base.errors import GameError
from firmware.play.memory import PLAYERS
from hil.authoring.draft import Draft
from hil.authoring.errors import DescriptionError

SHOT_FIELDS = 5  # name, ball from, options, help, steps
SHOT_LATCH = 2  # a step ("latch", ms, switch, …)
COVERS = re.compile(r"^covers +(.+)$", re.MULTILINE)
HOME = ("trough", "outhole")
HEARD_AFTER = 2  # a chart's row: state, event, …


@dataclass
class Facts:
    """Names of one game. `switches`: name → (debounce class, zone), `states`: feature → its states."""

    switches: dict[str, tuple[str, str]] = field(default_factory=dict)
    lamps: dict[str, tuple[int, int]] = field(default_factory=dict)
    coils: list[str] = field(default_factory=list)
    players: int = PLAYERS
    """Players at most."""
    settings: list[str] = field(default_factory=list)
    features: dict[str, str] = field(default_factory=dict)
    """Feature → the file it stands in."""
    states: dict[str, list[str]] = field(default_factory=dict)
    methods: dict[str, set[str]] = field(default_factory=dict)
    """Feature → what its class defines."""
    raised: set[str] = field(default_factory=set)
    raisers: dict[str, str] = field(default_factory=dict)
    """Event → the feature that raises it."""
    covered: set[str] = field(default_factory=set)
    """Features that a script covers."""
    heard: set[str] = field(default_factory=set)
    shots: dict[str, set[str]] = field(default_factory=dict)
    """Whole shot of the ball routes → the switches and other names in its steps."""
    latches: dict[str, str] = field(default_factory=dict)
    """Drop target → the shot that knocks it down and goes on when it is down."""
    awards: dict[str, int] = field(default_factory=dict)
    """Award with its feature, such as `points.bumper` → fixed points."""

    def under(self, name: str) -> list[str]:
        """The switches that an event of this name hears: itself, or those that begin with it and a dot."""
        return [switch for switch in self.switches if switch == name or switch.startswith(name + ".")]

    def into_holes(self) -> set[str]:
        """The whole shots after which a ball rests somewhere on the playfield."""
        rests = {
            part
            for name, (kind, zone) in self.switches.items()
            if (kind, zone) == ("rest", "device") and not name.startswith(HOME)
            for part in (name, name.partition(".")[0])
        }
        return {shot for shot, words in self.shots.items() if words & rests}

    def playfield(self) -> list[str]:
        """Every switch of the playfield."""
        return [name for name, (_, zone) in self.switches.items() if zone == "playfield"]


def gather(draft: Draft) -> Facts:
    """Everything that a description may name. Raises DescriptionError when a file cannot be read."""
    facts = Facts()
    _wiring(facts, draft)
    facts.settings = _names(draft, "settings.py", "SETTINGS")
    for name in draft.glob("features/*.py"):
        learn(facts, draft, name)
    for name in ("host/tables.py", "host/routes.py"):
        if draft.has(name):
            _shots(facts, _tree(draft, name))
    for name in draft.glob("scripts/*.play"):
        covers = COVERS.search(draft.read(name))
        facts.covered.update(covers[1].split(", ") if covers else ())
    return facts


def learn(facts: Facts, draft: Draft, name: str) -> None:
    """Take up the features of one file."""
    tree = _tree(draft, name)
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            _feature(facts, node, tree, name)


def _shots(facts: Facts, tree: ast.Module) -> None:
    """The whole shots: rows of a name, the place the ball comes from, and steps."""
    for row in ast.walk(tree):
        elements = row.elts if isinstance(row, ast.Tuple) else []
        if len(elements) < SHOT_FIELDS or _text(elements[1]) not in ("playfield", "lane"):
            continue
        words = [_text(node) for node in ast.walk(row) if isinstance(node, ast.expr)]
        facts.shots[_text(elements[0])] = {word for word in words if word}
        for step in ast.walk(row):
            parts = step.elts if isinstance(step, ast.Tuple) else []
            if len(parts) > SHOT_LATCH and _text(parts[0]) == "latch":
                facts.latches[_text(parts[SHOT_LATCH])] = _text(elements[0])


def _wiring(facts: Facts, draft: Draft) -> None:
    for name, kind, zone, *_ in _table(draft, "wiring.py", "SWITCHES"):
        facts.switches[str(name)] = (str(kind), str(zone))
    for name, _colour, row, column in _table(draft, "wiring.py", "LAMPS"):
        facts.lamps[str(name)] = (int(str(row)), int(str(column)))
    facts.coils = _names(draft, "wiring.py", "COILS")
    most = re.search(r"^PLAYERS = (\d+)", draft.read("wiring.py"), re.MULTILINE)
    facts.players = int(most[1]) if most else PLAYERS


def _tree(draft: Draft, name: str) -> ast.Module:
    try:
        return ast.parse(draft.read(name))
    except SyntaxError as error:
        raise GameError(f"{error.msg}", f"{draft.folder / name}:{error.lineno}") from None


def _table(draft: Draft, name: str, table: str) -> "list[tuple[object, ...]]":
    for node in _tree(draft, name).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == table:
            try:
                return list(ast.literal_eval(node.value))
            except (ValueError, TypeError):
                break
    raise DescriptionError(f"{table} is no table of plain values", str(draft.folder / name))


def _names(draft: Draft, name: str, table: str) -> list[str]:
    return [str(first) for first, *_ in _table(draft, name, table)]


def _feature(facts: Facts, node: ast.ClassDef, tree: ast.Module, file: str) -> None:
    values = {ast.unparse(n.targets[0]): n.value for n in node.body if isinstance(n, ast.Assign)}
    name = _text(values.get("name"))
    if not name:
        return
    facts.features[name] = file
    facts.methods[name] = {each.name for each in node.body if isinstance(each, ast.FunctionDef)}
    raised = {word for word in map(_text, values.values()) if "." in word}
    if "eject_coil" in values and "places" in values:
        raised.add(f"entered.{name}")
    facts.raised |= raised
    facts.raisers.update(dict.fromkeys(raised, name))
    facts.states[name] = list(dict.fromkeys(_states(facts, values.get("chart"))))
    if isinstance(values.get("chart"), ast.Attribute):
        _kit_chart(facts, name, node, tree)
    for call in ast.walk(node):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute) and call.args:
            _call(facts, name, call.func.attr, call.args)


def _kit_chart(facts: Facts, name: str, node: ast.ClassDef, tree: ast.Module) -> None:
    """The chart of a feature that takes over its base's, such as `chart = Special.chart`."""
    imported = {
        alias.asname or alias.name: (each.module or "", alias.name)
        for each in ast.walk(tree)
        if isinstance(each, ast.ImportFrom)
        for alias in each.names
    }
    for base in node.bases:
        module, original = imported.get(ast.unparse(base), ("", ""))
        if module.startswith("firmware."):
            rows = getattr(importlib.import_module(module), original).chart
            for _state, event, *_ in rows:
                facts.heard.update(event.split() if isinstance(event, str) else ())
            ends = (each for state, _event, target, *_ in rows for each in (state, target) if each)
            facts.states[name] = list(dict.fromkeys(ends))


def _call(facts: Facts, feature: str, called: str, given: list[ast.expr]) -> None:
    word = _text(given[0])
    if called == "event" and word:
        facts.raised.add(word)
        if word == f"made.{feature}":  # a hole that says itself that it was shot
            facts.raisers[word] = feature
        elif word.startswith("made."):
            facts.raisers.setdefault(word, feature)
    elif called == "award" and word and len(given) > 1:
        points = given[1]
        if isinstance(points, ast.Constant) and isinstance(points.value, int):
            facts.awards[f"{feature}.{word}"] = points.value


def _states(facts: Facts, chart: "ast.expr | None") -> Iterator[str]:
    for row in chart.elts if isinstance(chart, ast.Tuple) else ():
        words = [_text(value) for value in row.elts] if isinstance(row, ast.Tuple) else []
        if len(words) >= HEARD_AFTER:
            state, event, *others = words
            facts.heard.update(event.split())
            yield from (word for word in (state, *others[:1]) if word)


def _text(value: "ast.expr | None") -> str:
    return value.value if isinstance(value, ast.Constant) and isinstance(value.value, str) else ""
