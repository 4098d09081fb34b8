"""Templates of what is written: text with {values}, lines that are left out, lines that are repeated.

    {made_by.event}      a value, as in str.format
    ?lamp|    line       kept only if the value `lamp` is set
    !lamp|    line       kept only if it is not
    *shots|    line      once for each of `shots`, as {item} and {number}; lines with one mark form a block

A condition or list may be dotted: `?made_by.is_offer|`.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

MARK = re.compile(r"([?!*])([a-z_.]+)\|")
SECTION = re.compile(r"^== (.+)$", re.MULTILINE)


def fill(template: str, values: Mapping[str, object]) -> str:
    """The template with its values. Raises KeyError or AttributeError for a value that is not there."""
    return "".join(_lines(template.splitlines(keepends=True), values))


def sections(text: str) -> dict[str, str]:
    """The parts of a file by their headings, which are lines such as `== feature`."""
    pieces = SECTION.split(text)
    return {name.strip(): body.lstrip("\n") for name, body in zip(pieces[1::2], pieces[2::2], strict=True)}


def look_up(values: Mapping[str, object], dotted: str) -> object:
    """The value of a dotted name."""
    first, *rest = dotted.split(".")
    found = values[first]
    for name in rest:
        found = getattr(found, name)
    return found


def _lines(lines: Iterable[str], values: Mapping[str, object]) -> Iterator[str]:
    for mark, group in groupby(lines, key=_mark_of):
        block = [MARK.sub("", line, count=1) if mark else line for line in group]
        if not mark:
            yield from (line.format(**values) for line in block)
        elif mark[0] == "*":
            for number, item in enumerate(_listed(look_up(values, mark[1:])), 1):
                yield from _lines(block, {**values, "item": item, "number": number})
        elif bool(look_up(values, mark[1:])) == (mark[0] == "?"):
            yield from _lines(block, values)


def _mark_of(line: str) -> str:
    found = MARK.match(line)
    return found.group(1) + found.group(2) if found else ""


def _listed(value: object) -> Iterable[object]:
    if not isinstance(value, (list, tuple)):
        raise TypeError(f"a repeated line needs a list, not {value!r}")
    return value
