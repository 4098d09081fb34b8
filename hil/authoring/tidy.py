"""The last touch on a generated source: imports that are used, lines that fit."""

import re

WIDTH = 110
ONE_ROW = re.compile(r"^( *\w+ = \()\n +(\(.*\)),\n +\)$", re.MULTILINE)
IMPORT = re.compile(r"^from (\S+) import (.+)$")


def tidy(source: str) -> str:
    """The source without unused imports, with long lines folded and at most two blank lines in a row."""
    lines = _used_imports(source).splitlines()
    folded = "\n".join(part for line in lines for part in fold(line))
    folded = ONE_ROW.sub(_in_one_line, folded)
    return re.sub(r"\n{4,}", "\n\n\n", folded).rstrip("\n") + "\n"


def _in_one_line(found: "re.Match[str]") -> str:
    """A table of one row, if it fits in one line."""
    line = f"{found[1]}{found[2]},)"
    return line if len(line) <= WIDTH else found[0]


def _imported(module: str, names: list[str]) -> str:
    """An import in one line, or with a line for each name where that is too long."""
    line = f"from {module} import {', '.join(names)}"
    if len(line) <= WIDTH:
        return line
    return "\n".join([f"from {module} import (", *(f"    {name}," for name in names), ")"])


def _used_imports(source: str) -> str:
    """Imports sorted, each with the names that the rest of the source speaks of."""
    lines = source.splitlines()
    imports = {n: found for n, line in enumerate(lines) if (found := IMPORT.match(line))}
    at = list(imports)
    body = "\n".join(line for line in lines if not IMPORT.match(line))
    wanted: dict[str, set[str]] = {}
    for found in imports.values():
        module, names = found.groups()
        used = {name for name in names.split(", ") if re.search(rf"\b{name.split(' as ')[-1]}\b", body)}
        wanted.setdefault(module, set()).update(used)
    written = [_imported(m, sorted(names, key=_rank)) for m, names in sorted(wanted.items()) if names]
    return "\n".join([*lines[: at[0]], *written, *lines[at[-1] + 1 :]]) if at else source


def _rank(name: str) -> tuple[int, str]:
    """Constants first, then classes, then functions, as import sorters have it."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2), name


def fold(line: str) -> list[str]:
    """A line of at most WIDTH characters as it is; a longer one opened at its outermost bracket."""
    indent = line[: len(line) - len(line.lstrip())]
    if len(line) <= WIDTH:
        return [line]
    if line.lstrip().startswith('"""'):
        return _folded_docstring(line, indent)
    if line.lstrip().startswith("#"):
        return _wrapped(line.strip()[1:].strip(), indent + "# ")
    start = _outer_bracket(line)
    if start < 0:
        return [line]
    end = _closing(line, start)
    inner, tail = line[start + 1 : end], line[end:]
    whole = f"{indent}    {inner}"
    if len(whole) <= WIDTH and not line.lstrip().startswith("("):
        return [line[: start + 1], whole, indent + tail]
    parts = [part for piece in _pieces(inner) for part in fold(f"{indent}    {piece},")]
    return [line[: start + 1], *parts, indent + tail]


def _folded_docstring(line: str, indent: str) -> list[str]:
    text = line.strip().strip('"')
    first, *rest = _wrapped(text, indent, WIDTH - 3)
    return [f'{indent}"""{first.strip()}', *rest, f'{indent}"""']


def _wrapped(text: str, indent: str, width: int = WIDTH) -> list[str]:
    lines = [indent.rstrip() if not text else indent]
    for word in text.split():
        if len(lines[-1]) + len(word) > width:
            lines[-1] = lines[-1].rstrip()
            lines.append(indent)
        lines[-1] += word + " "
    return [line.rstrip() for line in lines]


def _outer_bracket(line: str) -> int:
    """Where the bracket opens that ends the line, or −1."""
    depth = 0
    for at in range(len(line.rstrip(",: ")) - 1, -1, -1):
        if line[at] in ")]":
            depth += 1
        elif line[at] in "([":
            depth -= 1
            if depth == 0:
                return at
        elif depth == 0:
            return -1
    return -1


def _closing(line: str, start: int) -> int:
    depth = 0
    for at in range(start, len(line)):
        depth += (line[at] in "([") - (line[at] in ")]")
        if depth == 0:
            return at
    raise ValueError(f"no closing bracket in {line!r}")


def _pieces(inner: str) -> list[str]:
    """What commas part at the outermost level; texts in quotes hold no brackets here."""
    pieces, depth, start, quoted = [], 0, 0, False
    for at, sign in enumerate(inner):
        quoted ^= sign == '"'
        depth += 0 if quoted else (sign in "([") - (sign in ")]")
        if sign == "," and depth == 0 and not quoted:
            pieces.append(inner[start:at].strip())
            start = at + 1
    return [piece for piece in (*pieces, inner[start:].strip()) if piece]
