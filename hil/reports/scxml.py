"""Reads SCXML documents as charts: states, transitions and histories; executable content stays XML.

Transitions keep SCXML's own default: external unless `type="internal"`. Every block of executable
content becomes one action and every condition one guard, listed in `actions` and `conditions`;
`In(...)` becomes the engine's own guard. To run the chart, give an owner with methods of those names.
"""

import re
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from firmware.base.errors import ChartError
from firmware.charts.model import ANY, Final, History, Node, Parallel, Region, State, external

NAMESPACE = "http://www.w3.org/2005/07/scxml"
CHILDREN = ("state", "parallel", "final", "history")
_IN = re.compile(r"^\s*(!?)\s*In\(\s*'([^']+)'\s*\)\s*$")


def tag(element: Element) -> str:
    """An element's name without its namespace."""
    _, _, name = element.tag.rpartition("}")
    return name


def is_ours(element: Element) -> bool:
    """Whether an element belongs to SCXML (or to no namespace at all)."""
    return not element.tag.startswith("{") or element.tag.startswith("{" + NAMESPACE)


class Document:
    """One parsed SCXML document. Raises ChartError."""

    def __init__(self, root: Element, where: str = "") -> None:
        if tag(root) != "scxml":
            raise ChartError(f"an SCXML document begins with <scxml>, not <{tag(root)}>", where)
        self.root = root
        self.where = where
        self.actions: dict[str, Element] = {}
        self.conditions: dict[str, str] = {}
        self.rows: list[tuple[object, ...]] = []
        self._names: dict[Element, str] = {}
        self._states: set[str] = set()  # histories left out: those are never active
        self._name_states()
        self.name = self._fresh(root.get("name") or "document")
        self.states = tuple(self._node(child) for child in self._children(root))
        initial = root.get("initial")
        self.initial: tuple[str, ...] = tuple(initial.split()) if initial else ()
        for holder in self._names:
            self._add_rows(holder)
        if not self.states:
            raise ChartError("the document has no states", where)

    def region(self, owner: object) -> Region:
        """The chart with its owner, the object that has its actions and guards as methods."""
        return Region(self.name, owner, tuple(self.rows), self.states, self.initial or None)

    def _children(self, holder: Element) -> list[Element]:
        return [child for child in holder if is_ours(child) and tag(child) in CHILDREN]

    def _name_states(self) -> None:
        named = [e for e in self.root.iter() if is_ours(e) and tag(e) in CHILDREN]
        taken = {e.get("id", "") for e in named}
        for count, element in enumerate(named):
            name = element.get("id") or f"{tag(element)}_{count}"
            while not element.get("id") and name in taken:
                name += "_"
            if "/" in name or name == ANY:
                raise ChartError(f"a state cannot be called '{name}' here", self.where)
            self._names[element] = name
            if tag(element) != "history":
                self._states.add(name)

    def _fresh(self, name: str) -> str:
        name = re.sub(r"[^\w.-]", "_", name)
        while name in self._names.values():
            name += "_"
        return name

    def _node(self, element: Element) -> Node:
        name = self._names[element]
        kind = tag(element)
        if kind == "history":
            targets, does = self._inner_transition(element)
            return History(name, element.get("type") == "deep", targets, does)
        enter = self._blocks(element, "onentry", f"enter_{name}")
        leave = self._blocks(element, "onexit", f"exit_{name}")
        if kind == "final":
            return Final(name, enter, leave)
        inner = tuple(self._node(child) for child in self._children(element))
        if kind == "parallel":
            return Parallel(name, enter, leave, inner)
        targets, does = None, None
        for child in element:
            if is_ours(child) and tag(child) == "initial":
                targets, does = self._inner_transition(child)
        if element.get("initial"):
            targets = tuple(str(element.get("initial")).split())
        return State(name, enter, leave, targets, inner, does)

    def _inner_transition(self, holder: Element) -> "tuple[tuple[str, ...] | None, tuple[str, ...] | None]":
        """Targets and action of the transition inside <initial> or <history>."""
        for child in holder:
            if is_ours(child) and tag(child) == "transition":
                name = f"default_{len(self.actions)}"
                does = self._block(child, name)
                return tuple(str(child.get("target", "")).split()) or None, does
        return None, None

    def _blocks(self, element: Element, kind: str, name: str) -> tuple[str, ...]:
        found: tuple[str, ...] = ()
        for child in element:
            if is_ours(child) and tag(child) == kind:
                found += self._block(child, f"{name}_{len(found)}" if found else name)
        return found

    def _block(self, block: Element, name: str) -> tuple[str, ...]:
        if not len(block):
            return ()
        name = re.sub(r"\W", "_", name)
        while name in self.actions:
            name += "_"
        self.actions[name] = block
        return (name,)

    def _add_rows(self, holder: Element) -> None:
        name = self._names[holder]
        if tag(holder) == "history":
            return
        for child in holder:
            if not is_ours(child) or tag(child) != "transition":
                continue
            targets = tuple(str(child.get("target", "")).split())
            internal = child.get("type") == "internal"
            does = self._block(child, f"do_{name}_{len(self.rows)}")
            event = child.get("event")
            to = None if not targets else targets if internal else external(*targets)
            self.rows.append((name, event, to, does or None, self._guard(child.get("cond"))))

    def _guard(self, condition: str | None) -> str | None:
        if condition is None:
            return None
        asked = _IN.match(condition)
        if asked and asked.group(2) in self._states:
            return ("not in " if asked.group(1) else "in ") + asked.group(2)
        for name, known in self.conditions.items():
            if known == condition:
                return name
        name = f"cond_{len(self.conditions)}"
        self.conditions[name] = condition
        return name


def read(path: Path) -> Document:
    """Parse a file. Raises ChartError with file and line."""
    return parse(path.read_text(encoding="utf-8"), str(path))


def parse(text: str, where: str = "") -> Document:
    """Parse a text. Raises ChartError."""
    try:
        return Document(ElementTree.fromstring(text), where)
    except ElementTree.ParseError as error:
        line = error.position[0]
        raise ChartError(f"this is no XML: {error}", f"{where}:{line}" if where else "") from None
