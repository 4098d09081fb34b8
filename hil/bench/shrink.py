"""Shrinks a script to the lines that still show what it shows."""

from collections.abc import Callable
from typing import TypeVar

from hil.bench.scripts.line import without_comment

Part = TypeVar("Part")
Holds = Callable[[list[str]], bool]
NEEDLESS = ("title", "covers", "expect")  # lines that seldom are needed, beside the one that fails


def contents(text: str) -> list[str]:
    """The lines of a script without comments and blank lines."""
    return [line for line in map(without_comment, text.split("\n")) if line]


def shrunk_script(lines: list[str], failing: str, holds: Holds) -> list[str]:
    """As `shrunk`, for a script that fails at the line `failing` ("": at none).

    What follows that line, and needless lines, are tried to be removed first.
    """
    if failing in lines:
        lines = _if(holds, lines[: lines.index(failing) + 1], lines)
    needed = [line for line in lines if line == failing or line.split()[0] not in NEEDLESS]
    return shrunk(_if(holds, needed, lines), holds)


def _if(holds: Holds, shorter: list[str], lines: list[str]) -> list[str]:
    return shorter if shorter != lines and shorter and holds(shorter) else lines


def shrunk(lines: list[Part], holds: Callable[[list[Part]], bool]) -> list[Part]:
    """Remove lines, or other parts, while `holds`: halves first, then single ones, until none can be."""
    size = max(1, len(lines) // 2)
    while True:
        at = 0
        gone = False
        while at < len(lines):
            rest = lines[:at] + lines[at + size :]
            if rest and holds(rest):
                lines = rest
                gone = True
            else:
                at += size
        if size == 1 and not gone:
            return lines
        size = max(1, size // 2)
