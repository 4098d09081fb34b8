"""The text of a bundle's modules, and what a line of it was in the sources."""

import ast
import re

from hil.bundle.plan import Bundle

PLACE = re.compile(r'File "([\w./]+?)(?:\.py)?", line (\d+), in (\S+)')


def written(node: ast.stmt) -> str:
    """The source of a definition; `a, b = c, d` without brackets, behind which a tuple would be allocated."""
    for each in ast.walk(node):
        if isinstance(each, ast.Assign) and isinstance(each.value, ast.Tuple) and len(each.value.elts) > 1:
            each.value = ast.Name(", ".join(ast.unparse(part) for part in each.value.elts), ast.Load())
    return ast.unparse(ast.fix_missing_locations(node))


def line_map(home: str, before: int, node: ast.stmt, text: str) -> "list[str]":
    """Lines `module line file line`: where each statement of `text`, which is `node` written, came from."""
    source = getattr(node, "source", "")
    if not source:
        return []
    pairs = zip(_statements(node), _statements(ast.parse(text).body[0]), strict=True)
    return [f"{home} {before + new.lineno} {source} {old.lineno}\n" for old, new in pairs]


def readable(traceback: str, bundle: Bundle) -> str:
    """A traceback from a board that runs the bundle, with the files and lines of the sources.

    The bundle must have been compiled with lines; without them a function's short name is all there is.
    """
    places = {}
    for line in bundle.lines.splitlines():
        home, new, source, old = line.split(" ")
        places[home, int(new)] = f'File "{source}", line {old}'
    meanings: dict[str, list[str]] = {}
    for line in bundle.names.splitlines():
        kind, short, name = line.split(" ")
        if kind != "local":
            meanings.setdefault(short, []).append(name)

    def replaced(found: "re.Match[str]") -> str:
        module, number, short = found[1].replace("/", "."), int(found[2]), found[3]
        names = " or ".join(meanings.get(short, [short]))
        return f"{places.get((module, number), found[0])}, in {names}"

    return PLACE.sub(replaced, traceback)


def _statements(node: ast.stmt) -> "list[ast.stmt]":
    return [each for each in ast.walk(node) if isinstance(each, ast.stmt)]
