"""What game.py gives: its title, features, savers and settings, each of its kind; nothing is built."""

import ast
import inspect
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from firmware.charts.suggest import did_you_mean
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PERSISTENT
from hil.checks.lines import assigned, class_of, elements, tree_of
from hil.checks.source import Finding, Source
from hil.game_tables import SettingRow
from hil.games import Game

TITLE_CELLS = 16
MOST = (1 << 30) - 1
KINDS = (str, int, int, int, str, str)
WORDS = {int: "whole number", str: "text"}


class GameFile(NamedTuple):
    """An imported game with its source. `at` gives "file:line" of a name that one of its files sets."""

    source: Source
    game: Game

    def value(self, name: str) -> object:
        """What game.py has by this name."""
        return getattr(self.game.module, name, None)

    def at(self, name: str, row: int | None = None) -> str:
        """Where `name` is set, or one of the rows of its tuple."""
        for path in sorted(self.source.files(), key=lambda path: path.name != "game.py"):
            node = assigned(tree_of(path), name)
            if node is not None:
                rows = elements(node)
                line = rows[row].lineno if row is not None and row < len(rows) else node.lineno
                return self.source.at(path, line)
        return f"{self.source.shown}/game.py"

    def class_line(self, kind: type, name: str = "") -> str:
        """Where a class is written, or a name in its body."""
        path = Path(inspect.getsourcefile(kind) or "").resolve()
        node = class_of(tree_of(path), kind.__name__)
        if node is None or self.source.folder not in path.parents:
            return self.at("FEATURES")
        inside = assigned(ast.Module(node.body, []), name)
        return self.source.at(path, (inside or node).lineno)


def names(file: GameFile) -> Iterator[Finding]:
    """Every name that a game needs is there."""
    for name in ("NAME", "TITLE", "FEATURES", "SAVERS", "SETTINGS", "WIRING"):
        if not hasattr(file.game.module, name):
            yield Finding(f"game.py has no {name}", f"{file.source.shown}/game.py:1")


def title(file: GameFile) -> Iterator[Finding]:
    """NAME is text; TITLE is bytes that fit the display."""
    name, given = file.value("NAME"), file.value("TITLE")
    if not isinstance(name, str):
        yield Finding(f"NAME is {name!r}; it is a text, that of the game's folder", file.at("NAME"))
    if isinstance(given, str):
        yield Finding(f'TITLE is a text; the display takes bytes: b"{given}"', file.at("TITLE"))
    elif not isinstance(given, bytes):
        yield Finding(f'TITLE is {given!r}; it takes bytes such as b"{file.game.name}"', file.at("TITLE"))
    elif len(given) > TITLE_CELLS or any(not 32 <= cell < 127 for cell in given):
        text = f"TITLE is {given!r}; the display shows {TITLE_CELLS} letters, digits and signs at most"
        yield Finding(text, file.at("TITLE"))


def savers(file: GameFile) -> Iterator[Finding]:
    """SAVERS names features."""
    given = file.value("SAVERS")
    if isinstance(given, str):
        yield Finding(f'SAVERS is a text; write ("{given}",) with the comma', file.at("SAVERS"))
    elif not isinstance(given, tuple):
        yield Finding(f"SAVERS is a tuple of features' names, not {given!r}", file.at("SAVERS"))
    else:
        known = [kind.name for kind in _classes(file)]
        for at, name in enumerate(given):
            if name not in known:
                near = did_you_mean(str(name), known)
                yield Finding(f"SAVERS names '{name}', which is no feature{near}", file.at("SAVERS", at))


def features(file: GameFile) -> Iterator[Finding]:
    """FEATURES lists classes, each once, each with a name and a chart of rows."""
    given = file.value("FEATURES")
    if not isinstance(given, tuple | list):
        text = f"FEATURES is a tuple of classes, not {given!r}; one class has a comma behind it: (Points,)"
        yield Finding(text, file.at("FEATURES"))
        return
    seen: set[str] = set()
    for at, kind in enumerate(given):
        if not _is_feature(kind):
            yield Finding(f"FEATURES lists {kind!r}, which is no class of a feature", file.at("FEATURES", at))
        elif kind.name in seen:
            yield Finding(f"feature '{kind.name}' is listed twice in FEATURES", file.at("FEATURES", at))
        else:
            yield from _feature(file, kind)
            seen.add(kind.name)


def _feature(file: GameFile, kind: type[Feature]) -> Iterator[Finding]:
    name, chart = kind.name, kind.chart
    if not isinstance(name, str) or not name.isidentifier():
        text = f'class {kind.__name__} has no name; give it one in small letters, such as name = "rush"'
        yield Finding(text, file.class_line(kind, "name"))
    if not isinstance(chart, tuple) or not all(isinstance(row, tuple) for row in chart):
        text = f"the chart of '{name}' is no tuple of rows; one row alone has a comma behind it: ((…),)"
        yield Finding(text, file.class_line(kind, "chart"))
    if kind.span not in range(BALL, PERSISTENT + 1):
        text = f"the span of '{name}' is {kind.span!r}; there are BALL, PLAYER, GAME, PERSISTENT"
        yield Finding(f"{text} (firmware.play.memory)", file.class_line(kind, "span"))


def left_out(file: GameFile) -> Iterator[Finding]:
    """Classes that game.py imports from the game's own rules are in FEATURES."""
    listed = {kind.__name__ for kind in _classes(file)}
    own = f"{file.game.package}.features"
    path = file.source.folder / "game.py"
    for node in tree_of(path).body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(own):
            for one in node.names:
                if one.name not in listed and _is_feature(file.value(one.asname or one.name)):
                    text = f"'{one.name}' is imported but not in FEATURES; list it, or leave the import out"
                    yield Finding(text, file.source.at(path, node.lineno), fatal=False)


def settings(file: GameFile) -> Iterator[Finding]:
    """Each setting has its six values, and a default in its range."""
    given = file.value("SETTINGS")
    if not isinstance(given, tuple) or not all(isinstance(row, tuple) for row in given):
        text = f"SETTINGS is a tuple of rows ({', '.join(SettingRow._fields)}); one row has a comma behind it"
        yield Finding(text, file.at("SETTINGS"))
        return
    counted = Counter(row[0] for row in given if row)
    for at, row in enumerate(given):
        where = file.at("SETTINGS", at)
        if len(row) != len(KINDS):
            wanted = ", ".join(SettingRow._fields)
            yield Finding(f"a row of SETTINGS has 6 values ({wanted}), not {len(row)}", where)
            continue
        for what, kind, value in zip(SettingRow._fields, KINDS, row, strict=True):
            if type(value) is not kind:
                yield Finding(
                    f"setting '{row[0]}' has the {what} {value!r}, which is no {WORDS[kind]}", where
                )
        if all(type(value) is kind for kind, value in zip(KINDS, row, strict=True)):
            yield from _range(SettingRow(*row), where)
        if counted[row[0]] > 1:
            yield Finding(f"setting '{row[0]}' is there {counted[row[0]]} times; give it once", where)


def _range(row: SettingRow, where: str) -> Iterator[Finding]:
    if not -MOST <= row.least <= row.most <= MOST:
        text = (
            f"setting '{row.name}' takes {row.least:,} to {row.most:,}; the least comes first, up to {MOST:,}"
        )
        yield Finding(text, where)
    elif not row.least <= row.default <= row.most:
        text = f"setting '{row.name}' is {row.default:,} by default, and takes {row.least:,} to {row.most:,}"
        yield Finding(text, where)
    if not row.meaning.strip():
        yield Finding(f"setting '{row.name}' has no meaning; give it one line", where)


def _classes(file: GameFile) -> list[type[Feature]]:
    given = file.value("FEATURES")
    return [kind for kind in given if _is_feature(kind)] if isinstance(given, tuple | list) else []


def _is_feature(kind: object) -> bool:
    return isinstance(kind, type) and issubclass(kind, Feature)


CHECKS: tuple[Callable[[GameFile], Iterator[Finding]], ...] = (title, savers, features, left_out, settings)


def game_findings(source: Source, game: Game) -> Iterator[Finding]:
    """Everything of that kind."""
    file = GameFile(source, game)
    missing = list(names(file))
    yield from missing
    if not missing:
        for check in CHECKS:
            yield from check(file)
