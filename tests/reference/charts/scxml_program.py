"""SCXML with a little ECMAScript, as a program in plain lists that `scxml_player.py` runs on both Pythons.

Only what the published tests need: raise, send, cancel, assign, if, log, and expressions that read
the same in Python once the operators are spelled its way. Anything else raises `NeedsScript`.
"""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element

from firmware.charts.model import FINAL, HISTORY, PARALLEL, External, Node
from hil.reports.scxml import Document, is_ours, tag

_SPELLING = (
    (r"===", "=="),
    (r"!==", "!="),
    (r"&&", " and "),
    (r"\|\|", " or "),
    (r"!(?!=)", " not "),
    (r"\btrue\b", "True"),
    (r"\bfalse\b", "False"),
    (r"\b_event\.(\w+)", r"_event_\1"),
)
_PLAIN = re.compile(r"^(\s|[\w.,+*/%<>=!()-]|'[^'\\]*'|&&|\|\|)*$")


class NeedsScript(Exception):
    """The document needs more than the tests' stand-in for a data model."""


def expression(text: str) -> str:
    if text.lstrip().startswith("{"):
        raise NeedsScript("an object literal as data")
    if not _PLAIN.match(text) or re.search(r"\b(function|new|typeof|undefined|this|_event\.data)\b", text):
        raise NeedsScript(f"the expression {text!r}")
    text = text.strip()
    for old, new in _SPELLING:
        text = re.sub(old, new, text)
    return text.strip()


def milliseconds(text: str) -> int:
    number, unit = re.match(r"^([\d.]+)(ms|s)$", text.strip()).groups()
    return round(float(number) * (1000 if unit == "s" else 1))


def steps(block: Element) -> list:
    return [step(element) for element in block]


def step(element: Element) -> list:
    if not is_ours(element):
        raise NeedsScript(f"<{element.tag}>")
    name = tag(element)
    if name == "raise":
        return ["raise", element.get("event")]
    if name == "log":
        return ["log"]
    if name == "send":
        return send(element)
    if name == "cancel":
        if element.get("sendidexpr"):
            return ["cancel", expression(element.get("sendidexpr"))]
        return ["cancel", repr(element.get("sendid"))]
    if name == "assign":
        if element.get("expr") is None:
            raise NeedsScript("<assign> without expr")
        return ["assign", element.get("location").strip(), expression(element.get("expr"))]
    if name == "if":
        return branches(element)
    raise NeedsScript(f"<{name}>")


def send(element: Element) -> list:
    if set(element.keys()) - {"event", "eventexpr", "delay", "delayexpr", "id", "target", "type"} or len(
        element
    ):
        raise NeedsScript("<send> with data")
    if element.get("target") not in (None, "#_internal") or element.get("type"):
        raise NeedsScript("an I/O processor")
    if element.get("target"):
        return ["raise", element.get("event")]
    event = expression(element.get("eventexpr")) if element.get("eventexpr") else repr(element.get("event"))
    delay = "'0s'"
    if element.get("delayexpr"):
        delay = expression(element.get("delayexpr"))
    elif element.get("delay"):
        delay = repr(element.get("delay"))
    return ["send", event, delay, element.get("id") or ""]


def branches(element: Element) -> list:
    found: list = [[expression(element.get("cond")), []]]
    for child in element:
        if tag(child) == "elseif":
            found.append([expression(child.get("cond")), []])
        elif tag(child) == "else":
            found.append(["True", []])
        else:
            found[-1][1].append(step(child))
    return ["if", found]


def node(spec: Node) -> list:
    kind = "state"
    if spec.kind == PARALLEL:
        kind = "parallel"
    elif spec.kind == FINAL:
        kind = "final"
    elif spec.kind == HISTORY:
        kind = "deep" if spec.deep else "shallow"
    children = [node(child) for child in spec.states]
    return [kind, spec.name, spec.enter, spec.exit, spec.initial, spec.does, children]


def row(given: tuple) -> list:
    state, event, to, does, guard = given
    outer = isinstance(to, External)
    return [state, event, to.targets if outer else to, outer, does, guard]


def program(document: Document) -> dict:
    """What the player runs, ready for JSON."""
    root = document.root
    for element in root.iter():
        if is_ours(element) and tag(element) in ("script", "invoke", "foreach", "donedata"):
            raise NeedsScript(f"<{tag(element)}>")
        if element.get("src") or element.get("srcexpr"):
            raise NeedsScript("a file from elsewhere")
    data = []
    for element in root.iter():
        if is_ours(element) and tag(element) == "data":
            if element.get("expr") is None and (element.text or "").strip():
                raise NeedsScript("<data> with a body")
            data.append([element.get("id"), expression(element.get("expr") or "None")])
    return {
        "name": document.name,
        "states": [node(spec) for spec in document.states],
        "initial": document.initial,
        "rows": [row(given) for given in document.rows],
        "actions": {name: steps(block) for name, block in document.actions.items()},
        "conditions": {name: expression(text) for name, text in document.conditions.items()},
        "data": data,
    }


def event_names(program: dict) -> list[str]:
    """Every event the program can raise or send by name."""
    return sorted(set(re.findall(r"\['(?:raise|send)', [\"']+([\w.-]+)[\"']", repr(program["actions"]))))
