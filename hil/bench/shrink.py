"""Shrinks a script to the lines that still show what it shows."""

from collections.abc import Callable


def shrunk(lines: list[str], holds: Callable[[list[str]], bool]) -> list[str]:
    """Remove lines while `holds`: halves first, then single lines, until none can be removed."""
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
