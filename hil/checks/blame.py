"""Which line of a game an exception is about, and what it says."""

import re
from pathlib import Path

from firmware.base.errors import InlaneError
from hil.checks.lines import assigned, tree_of
from hil.checks.source import Source
from hil.likeness import near

LACKING = ("there is no setting", "there is no feature")


def words_of(error: Exception) -> str:
    """An exception that is none of ours, in a sentence; with the near miss of an attribute."""
    words = " ".join(f"{type(error).__name__}: {error}".split())
    if isinstance(error, AttributeError) and error.name and error.obj is not None:
        words += near(error.name, [name for name in dir(error.obj) if not name.startswith("_")])
    return words


def place_of(source: Source, error: InlaneError) -> str:
    """Where the error says; the game's line that it came through; else where a file has what it quotes."""
    if error.where:
        return _shorter(source, error.where)
    came_through = line_of(source, error, "")
    if came_through:
        return came_through
    quoted = re.findall(r"'([^']+)'", error.text)
    for name in () if error.text.startswith(LACKING) else quoted:
        for path, line in source.mentions(name.partition("/")[0]):
            return source.at(path, line)
    table = "SETTINGS" if error.text.startswith(LACKING[0]) else "FEATURES"
    for path in source.files():
        node = assigned(tree_of(path), table)
        if node is not None:
            return source.at(path, node.lineno)
    return f"{source.shown}/game.py"


def line_of(source: Source, error: Exception, otherwise: str = "game.py") -> str:
    """The innermost line of the game that an exception came through, else a file of it, or ""."""
    place = ""
    trace = error.__traceback__
    while trace is not None:
        path = Path(trace.tb_frame.f_code.co_filename)
        if source.folder in path.parents:
            place = source.at(path, trace.tb_lineno)
        trace = trace.tb_next
    return place or (f"{source.shown}/{otherwise}" if otherwise else "")


def _shorter(source: Source, where: str) -> str:
    path, _, line = where.rpartition(":")
    if line.isdigit() and source.folder in Path(path).parents:
        return source.at(Path(path), int(line))
    return where
