"""Puts a new rule into a game's tables: its place in the order, savers, lamps, settings, the rule sheet."""

import ast
import re

from hil.authoring import machine
from hil.authoring.draft import Draft
from hil.authoring.errors import DescriptionError
from hil.authoring.facts import Facts

LINES = 8  # rows and columns of a lamp matrix
CABINET = "firmware.cabinet."


def add_features(draft: Draft, module: str, classes: "tuple[str, ...]", last: str) -> None:
    """Import the classes of `features/MODULE.py` and put them into FEATURES.

    They stand behind the game's other rules but before those that end the order; `last`: why these end it.
    """
    text = draft.read("game.py")
    line = f"from {draft.package}.features.{module} import {', '.join(sorted(classes))}"
    text = _with_import(text, line)
    own = _own_classes(text, draft.package)
    table = _tuple(text, "FEATURES", draft)
    place = next(
        (e.lineno for e in table.elts if ast.unparse(e) not in own), table.end_lineno or table.lineno
    )
    if not last:
        ends = [e.lineno for e in table.elts if ast.unparse(e) in _last_classes(text)]
        place = min([place, *ends])
    remark = f"  # last: {last}" if last else ""
    rows = [f"    {name},{remark}" for name in classes]
    draft.change("game.py", _inserted(text, place, rows))


def add_cabinet(draft: Draft, module: str, name: str) -> None:
    """Put a class of the cabinet at the end of FEATURES, unless it is there."""
    text = draft.read("game.py")
    if re.search(rf"^    {name},", text, re.M):
        return
    text = _with_import(text, f"from {CABINET}{module} import {name}")
    table = _tuple(text, "FEATURES", draft)
    draft.change("game.py", _inserted(text, table.end_lineno or table.lineno, [f"    {name},"]))


def remove_cabinet(draft: Draft, name: str) -> None:
    """Take a class of the cabinet out of FEATURES, if it is there."""
    lines = draft.read("game.py").splitlines()
    kept = [line for line in lines if not re.fullmatch(rf"    {name},|from {CABINET}\w+ import {name}", line)]
    draft.change("game.py", "\n".join(kept) + "\n")


def add_saver(draft: Draft, name: str) -> None:
    """Ask `name` first when a ball drains, unless it has its place already."""
    text = draft.read("game.py")
    table = _tuple(text, "SAVERS", draft)
    present = [str(ast.literal_eval(each)) for each in table.elts]
    if name in present:
        return
    names = [name, *present]
    inner = ", ".join(f'"{each}"' for each in names) + ("," if len(names) == 1 else "")
    lines = text.splitlines()
    end = table.end_lineno or table.lineno
    draft.change(
        "game.py", "\n".join([*lines[: table.lineno - 1], f"SAVERS = ({inner})", *lines[end:]]) + "\n"
    )


def add_lamps(draft: Draft, facts: Facts, names: "list[str]", colour: str) -> None:
    """Wire the lamps that are not there yet, at free places. Raises DescriptionError: none is free."""
    new = [name for name in dict.fromkeys(names) if name not in facts.lamps]
    for name in new:
        facts.lamps[name] = _free_place(facts, name)
    if not new:
        return
    if machine.is_described(draft):
        machine.add_line(draft, _machine_line(facts, new, colour))
        return
    rows = [f'    ("{name}", "{colour}", {facts.lamps[name][0]}, {facts.lamps[name][1]}),' for name in new]
    text = draft.read("wiring.py")
    table = _tuple(text, "LAMPS", draft, "wiring.py")
    draft.change("wiring.py", _inserted(text, table.end_lineno or table.lineno, rows))


def _free_place(facts: Facts, name: str) -> tuple[int, int]:
    taken = set(facts.lamps.values())
    for row in range(1, LINES + 1):
        for column in range(1, LINES + 1):
            if (row, column) not in taken:
                return row, column
    raise DescriptionError(f"no place is free for lamp '{name}' among {LINES} rows of {LINES}", "wiring.py")


def _machine_line(facts: Facts, names: "list[str]", colour: str) -> str:
    places = ", ".join(str(facts.lamps[name]) for name in names)
    if len(names) == 1:
        return f'lamps("{names[0]}", colour="{colour}", at={places})'
    called = ", ".join(f'"{name}"' for name in names)
    return f'lamps(({called}), colour="{colour}", at=({places}))'


def add_setting(draft: Draft, facts: Facts, row: str) -> None:
    """Add a row to SETTINGS, unless there is one of that name."""
    name = str(ast.literal_eval(row)[0])
    if name in facts.settings:
        return
    facts.settings.append(name)
    text = draft.read("settings.py")
    table = _tuple(text, "SETTINGS", draft, "settings.py")
    draft.change("settings.py", _inserted(text, table.end_lineno or table.lineno, [f"    {row},"]))


def add_rule_line(draft: Draft, title: str, body: str) -> None:
    """A paragraph at the end of the rule sheet."""
    text = draft.read("rules.md").rstrip("\n")
    gap = "\n" if text.splitlines()[-1:] and text.splitlines()[-1].startswith(("- ", "  ")) else "\n\n"
    draft.change("rules.md", f"{text}{gap}{paragraph(title, body)}\n")


def paragraph(title: str, body: str, width: int = 105) -> str:
    """A list item of the rule sheet, wrapped."""
    lines, line = [], f"- **{title}.**"
    for word in body.split():
        if len(line) + len(word) >= width:
            lines.append(line)
            line = " "
        line += " " + word
    return "\n".join([*lines, line])


def _with_import(text: str, line: str) -> str:
    lines = text.splitlines()
    at = [n for n, each in enumerate(lines) if each.startswith("from ")]
    place = next((n for n in at if _module(lines[n]) > _module(line)), at[-1] + 1 if at else 2)
    return "\n".join([*lines[:place], line, *lines[place:]]) + "\n"


def _module(line: str) -> str:
    return line.split()[1]


def _own_classes(text: str, package: str) -> set[str]:
    found = re.findall(rf"^from {re.escape(package)}\.features\.\S+ import (\(.*?\)|.+?)$", text, re.M | re.S)
    return {name for names in found for name in re.findall(r"\w+", names)}


def _last_classes(text: str) -> set[str]:
    """Classes that a comment keeps at the end of the order."""
    return set(re.findall(r"^    (\w+),  # last: ", text, re.M))


def _tuple(text: str, name: str, draft: Draft, file: str = "game.py") -> ast.Tuple:
    for node in ast.parse(text).body:
        named = isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == name
        if named and isinstance(node, ast.Assign) and isinstance(node.value, ast.Tuple):
            return node.value
    raise DescriptionError(f"{file} has no {name} that is a plain tuple", str(draft.folder))


def _inserted(text: str, line: int, rows: list[str]) -> str:
    lines = text.splitlines()
    return "\n".join([*lines[: line - 1], *rows, *lines[line - 1 :]]) + "\n"
