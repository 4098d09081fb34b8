"""Writes chart tables as an SCXML document: standard elements only, `datamodel="ecmascript"`.

Names of states become ids; with several charts `CHART-STATE` (after a dot `done.state.CHART` would hear
them too), under one <parallel> that holds them all.
A method that a table names becomes the call of a function of that name: actions `<script>NAME()</script>`,
guards `cond="NAME()"`; whoever runs the document defines those. `in STATE` becomes `In('ID')`. A timed
transition becomes a delayed <send> at entry and a <cancel> at exit. Every transition with a target says
its type. What SCXML cannot say: that the timers of a group are frozen together, and that of several actions
in one transition the next one runs although one failed.
"""

import re
from collections.abc import Sequence
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from firmware.charts.model import ANY, COMPOUND, FINAL, PARALLEL, Region, listed
from firmware.charts.row import Row, rows_of
from firmware.charts.tree import Tree
from hil.reports.scxml import NAMESPACE

MACHINE = "machine"  # the id of what holds several charts
DONE = "done.state."
_NOTE = (
    " Every NAME() is a method of the chart's owner: an action, or a guard. Delays by name are the"
    " owner's, in milliseconds. "
)


def document(regions: Sequence[Region], name: str) -> str:
    """The SCXML text of these charts. Raises ChartError for malformed ones."""
    writer = _Writer(list(regions))
    root = writer.document(name)
    ElementTree.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root, encoding="unicode") + "\n"


class _Writer:
    """One document in the making."""

    def __init__(self, regions: list[Region]) -> None:
        self.rows = [rows_of(region) for region in regions]
        self.tree = Tree(regions, self.rows)
        self.several = len(regions) > 1
        self.taken: set[str] = {MACHINE} if self.several else set()
        self.ids = [MACHINE] + [self._id(state) for state in range(1, len(self.tree))]
        self.past_ids = [
            self._fresh(self._scoped(past.parent, spec.name))
            for past, spec in zip(self.tree.histories, self.tree.history_specs, strict=True)
        ]
        self.sources: dict[int, list[Row]] = {}
        for chart, rows in enumerate(self.rows):
            for row in rows:
                state = self.tree.roots[chart] if row.state == ANY else self._find(row.state, chart, row)
                self.sources.setdefault(state, []).append(row)

    def document(self, name: str) -> Element:
        """The whole of it."""
        root = Element("scxml", {"xmlns": NAMESPACE, "version": "1.0", "datamodel": "ecmascript"})
        root.set("name", _named(name))
        root.append(ElementTree.Comment(_NOTE))
        holder = root
        if self.several:
            root.set("initial", MACHINE)
            holder = SubElement(root, "parallel", {"id": MACHINE})
        else:
            root.set("initial", self.ids[self.tree.roots[0]])
        for state in self.tree.roots[: len(self.rows)]:
            self._state(holder, state)
        return root

    # names

    def _id(self, state: int) -> str:
        tree = self.tree
        name = tree.names[state]
        return self._fresh(name if state in tree.roots else self._scoped(state, name))

    def _scoped(self, state: int, name: str) -> str:
        return self.tree.regions[self.tree.chart[state]].name + "-" + name if self.several else name

    def _fresh(self, name: str) -> str:
        name = _named(name)
        while name in self.taken:
            name += "_"
        self.taken.add(name)
        return name

    def _find(self, name: str, chart: int, row: Row) -> int:
        return self.tree.find(name, chart, row.where)

    def _id_of(self, state: int) -> str:
        return self.ids[state] if state >= 0 else self.past_ids[-1 - state]

    def _joined(self, states: Sequence[int]) -> str:
        return " ".join(self._id_of(state) for state in states)

    # states

    def _state(self, holder: Element, state: int) -> None:
        tree = self.tree
        kind = tree.kind[state]
        tag = "final" if kind == FINAL else "parallel" if kind == PARALLEL else "state"
        element = SubElement(holder, tag, {"id": self.ids[state]})
        spec = tree.specs[state]
        if kind == COMPOUND:
            self._initial(element, state, () if spec is None else listed(spec.does))
        if spec is not None:
            _blocks(element, "onentry", listed(spec.enter))
            _blocks(element, "onexit", listed(spec.exit))
        self._timers(element, state)
        for row in self.sources.get(state, ()):
            self._transition(element, state, row)
        for number, past in enumerate(tree.histories):
            if past.parent == state:
                self._history(element, number)
        for child in tree.children(state):
            self._state(element, child)

    def _initial(self, element: Element, state: int, does: Sequence[str]) -> None:
        targets = self._joined(self.tree.initial[state])
        if not does:
            element.set("initial", targets)
            return
        first = SubElement(element, "initial")
        _scripts(SubElement(first, "transition", {"target": targets}), does)

    def _history(self, holder: Element, number: int) -> None:
        past, spec = self.tree.histories[number], self.tree.history_specs[number]
        kind = "deep" if past.deep else "shallow"
        element = SubElement(holder, "history", {"id": self.past_ids[number], "type": kind})
        _scripts(SubElement(element, "transition", {"target": self._joined(past.default)}), listed(spec.does))

    def _timers(self, element: Element, state: int) -> None:
        """Delayed events sent at entry, after what else is done there, and cancelled at exit."""
        seen: set[str] = set()
        for row in self.sources.get(state, ()):
            event = self._due(state, row)
            if row.after is None or event in seen:
                continue
            seen.add(event)
            words = {"event": event, "id": event}
            if isinstance(row.after.ms, str):
                words["delayexpr"] = f"{row.after.ms} + 'ms'"
            else:
                words["delay"] = f"{row.after.ms}ms"
            SubElement(SubElement(element, "onentry"), "send", words)
            SubElement(SubElement(element, "onexit"), "cancel", {"sendid": event})

    def _due(self, state: int, row: Row) -> str:
        return f"after.{row.after.ms}.{self.ids[state]}" if row.after else ""

    # transitions

    def _transition(self, element: Element, state: int, row: Row) -> None:
        chart = self.tree.chart[state]
        words = {}
        hears = [self._due(state, row)] if row.after else [self._heard(name, chart) for name in row.hears]
        if hears:
            words["event"] = " ".join(hears)
        if row.guard:
            words["cond"] = self._condition(row, chart)
        if row.targets:
            words["target"] = self._joined([self._find(name, chart, row) for name in row.targets])
            words["type"] = "external" if row.external else "internal"
        _scripts(SubElement(element, "transition", words), row.does)

    def _heard(self, name: str, chart: int) -> str:
        """A descriptor; done events of this chart's states under the states' ids."""
        state = self.tree.scopes[chart].get(name.removeprefix(DONE), -1) if name.startswith(DONE) else -1
        return DONE + self.ids[state] if state >= 0 else name

    def _condition(self, row: Row, chart: int) -> str:
        *before, last = row.guard.split()
        negated = "!" if "not" in before else ""
        if "in" in before:
            return f"{negated}In('{self._id_of(self._find(last, chart, row))}')"
        return f"{negated}{last}()"


def _named(name: str) -> str:
    """A name as XML takes it for an id: an NCName."""
    name = re.sub(r"[^\w.-]", "_", name)
    return name if re.match(r"[^\W\d]", name) else "_" + name


def _blocks(element: Element, tag: str, names: Sequence[str]) -> None:
    """A block for each, since each is done even when the one before fails."""
    for name in names:
        _scripts(SubElement(element, tag), (name,))


def _scripts(element: Element, names: Sequence[str]) -> None:
    for name in names:
        SubElement(element, "script").text = f"{name}()"
