"""Checks that a game's deepest path of calls, counted from the sources, fits on a board's stack."""

import importlib

from hil.build.chips import RP2040, Chip
from hil.checks.board_report import BoardReport
from hil.checks.stack.bound import Bound, bound
from hil.checks.stack.depth import Path
from hil.games import Game

SHOWN = 4  # functions at the end of the deepest path that a line names


def stack(board: str, game: Game, chip: Chip = RP2040) -> BoardReport:
    """Report the stack that `game` needs on `board`. Raises UsageError without mpy-cross."""
    found = bound(board, game)
    if found.recursions:
        refused = tuple(
            f"{each.where}: {each}; end the call's line with '# depth: N WHY'" for each in found.recursions
        )
        return BoardReport((), found.guessed, refused)
    limits = importlib.import_module(f"boards.{board}.check")
    callback = limits.STACK_CALLBACK if chip is RP2040 else limits.STACK_CALLBACK_PICO_2
    left = limits.STACK - callback - found.bytes
    line = (
        f"stack: {found.bytes:,} B at most, in {found.deepest.calls} calls, and {callback:,} B"
        f" for the callback; {left:,} of {limits.STACK:,} B are left"
    )
    if left >= limits.STACK_SPARE:
        return BoardReport((line,), found.guessed, ())
    words = (
        f"the deepest path of calls takes {found.bytes:,} B and the callback {callback:,} B;"
        f" {limits.STACK_SPARE:,} of {limits.STACK:,} B must be left: {_end(found.deepest)}"
    )
    return BoardReport((line,), found.guessed, (words,))


def _end(path: Path) -> str:
    """The last SHOWN functions of a path, the innermost last."""
    names = [str(function) for function, _, _ in path.steps]
    return " > ".join(("…", *names[-SHOWN:])) if len(names) > SHOWN else " > ".join(names)


def deepest_path(found: Bound) -> list[str]:
    """The deepest path, one line a function: its name, how it is called, and the calling file and line."""
    lines = []
    before = None
    for function, kind, line in found.deepest.steps:
        where = f"{before.module.shown}:{line}" if before else ""
        lines.append(f"{function} ({kind})" + (f" {where}" if where else ""))
        before = function
    return lines
