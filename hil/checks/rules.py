"""A game's own rules, each with its object, as it was set up, and its classes as they are written."""

import ast
import inspect
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from firmware.charts.model import Region, listed
from firmware.charts.row import Row, rows_of
from firmware.console import Console
from firmware.play.feature import Feature
from hil.checks.chart_finding import MEANT
from hil.checks.chart_source.reading import nodes
from hil.checks.lines import class_of, tree_of
from hil.checks.source import Finding, Source

MISSING = object()
SET_UP = ("__init__", "bind")


class Rule(NamedTuple):
    """One class of a rule: the feature made of it, its file, its text."""

    source: Source
    feature: Feature
    path: Path
    kind: ast.ClassDef

    def finding(self, node: ast.AST, text: str, fatal: bool = True) -> Finding:
        """A sentence about a line of the class."""
        return Finding(text, self.source.at(self.path, line_of(node)), fatal)

    def note(self, node: ast.AST, text: str) -> Iterator[Finding]:
        """The same as a note; nothing where the line says that it is meant."""
        line = self.path.read_text(encoding="utf-8").splitlines()[line_of(node) - 1]
        if MEANT not in line:
            yield self.finding(node, text, fatal=False)

    def methods(self) -> dict[str, ast.FunctionDef]:
        """The methods that the class itself writes."""
        return {node.name: node for node in self.kind.body if isinstance(node, ast.FunctionDef)}

    def named(self) -> set[str]:
        """Attributes that any function of the class sets."""
        return {
            node.attr
            for node in ast.walk(self.kind)
            if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store)
        }

    def held(self, node: ast.AST) -> object:
        """What the feature has under `self.X`; MISSING for any other expression, or when it has none."""
        name = of_self(node)
        return vars(self.feature).get(name, MISSING) if name else MISSING

    def rows(self) -> list[Row]:
        """The rows of the chart."""
        feature = self.feature
        return rows_of(Region(feature.name, feature, feature.chart, feature.states))

    def actions(self) -> set[str]:
        """The methods that the chart has called when it moves."""
        feature = self.feature
        states = nodes(Region(feature.name, feature, feature.chart, feature.states))
        inside = [name for node in states for name in (*listed(node.enter), *listed(node.exit))]
        return {*(name for row in self.rows() for name in row.does), *inside}

    def guards(self) -> set[str]:
        """The methods that the chart asks."""
        return {row.guard.removeprefix("not ").strip() for row in self.rows()}


def line_of(node: ast.AST) -> int:
    """The line of an expression or statement, 1 for anything else."""
    return int(getattr(node, "lineno", 1))


def of_self(node: ast.AST) -> str:
    """X when the expression is `self.X`, else ""."""
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "self":
        return node.attr
    return ""


def constant(node: ast.AST) -> object:
    """The value of an expression without names; MISSING for any other."""
    try:
        found: object = ast.literal_eval(ast.unparse(node))
        return found
    except (ValueError, TypeError, SyntaxError):
        return MISSING


def rules_of(source: Source, console: Console) -> Iterator[Rule]:
    """Every class of the game that one of its features is made of."""
    for feature in console.play.features:
        for cls in inspect.getmro(type(feature)):
            file = getattr(sys.modules.get(cls.__module__), "__file__", None)
            path = Path(file or "").resolve()
            kind = class_of(tree_of(path), cls.__name__) if source.folder in path.parents else None
            if kind is not None:
                yield Rule(source, feature, path, kind)
