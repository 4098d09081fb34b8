"""A map of shots as a file: CSV, a line for each stretch of timings with the same end."""

import csv
import hashlib
import io
import math
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean
from hil.command import drawn
from hil.games import Game
from simulator.aiming import NOTHING, Stretch

MADE = "made"
DROPS = {None: "", True: "down", False: "up"}  # how drop targets were before: none, down, up


class Row(NamedTuple):
    """A line of the file. `meets`, `result`, `angle`: as `inlane measure shots` prints them."""

    game: str
    drawing: str
    slope: float
    flipper: str
    ball: str
    drops: str
    from_ms: int
    to_ms: int
    shot: str
    meets: str
    result: str
    angle: float


def drawing_mark(game: Game) -> str:
    """What changes with a game's drawing. Raises GameError: it cannot be read."""
    return hashlib.sha256(drawn.read(game)).hexdigest()[:12]


def write(rows: list[Row], path: Path) -> None:
    """Write a map. Raises UsageError when that is not possible."""
    text = io.StringIO()
    lines = csv.writer(text, lineterminator="\n")
    lines.writerow(Row._fields)
    lines.writerows(rows)
    try:
        path.write_text(text.getvalue(), encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the map cannot be written: {error.strerror or error}", str(path)) from None


def read(path: str, game: Game, shots: tuple[str, ...]) -> tuple[Stretch, ...]:
    """The stretches of a map; `shots`: those that the game has.

    Raises UsageError: no such file, no map, one of another game or of an earlier drawing, or a wrong line.
    """
    again = f"make it again: inlane measure shots {game.name} --csv {path}"
    mark = drawing_mark(game)
    found = []
    for number, row in _rows(path):
        if row["game"] != game.name:
            raise UsageError(f"the map of shots is of the game '{row['game']}', not of {game.name}", path)
        if row["drawing"] != mark:
            raise UsageError(f"the drawing of {game.name} was changed since this map of shots; {again}", path)
        found.append(_stretch(row, shots, f"{path}:{number}"))
    if not found:
        raise UsageError(f"the map of shots has no line; {again}", path)
    return tuple(found)


def _rows(path: str) -> Iterator[tuple[int, dict[str, str]]]:
    """Each line by its columns, with its number."""
    try:
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"the map of shots cannot be read: {error}", path) from None
    lines = csv.DictReader(io.StringIO(text))
    if tuple(lines.fieldnames or ()) != Row._fields:
        raise UsageError(f"this is no map of shots: its first line is {','.join(Row._fields)}", path)
    for row in lines:
        if None in row or None in row.values():
            raise UsageError(f"a line has {len(Row._fields)} fields", f"{path}:{lines.line_num}")
        yield lines.line_num, row


def _stretch(row: dict[str, str], shots: tuple[str, ...], where: str) -> Stretch:
    shot = row["shot"]
    if shot not in (NOTHING, *shots):
        raise UsageError(f"the game has no shot '{shot}'{did_you_mean(shot, list(shots))}", where)
    start, end = _number(row, "from_ms", where), _number(row, "to_ms", where)
    if start >= end:
        raise UsageError(f"to_ms is {end:g}, and must be more than from_ms, {start:g}", where)
    return Stretch(row["flipper"], row["ball"], row["drops"], start, end, shot, row["result"] == MADE)


def _number(row: dict[str, str], column: str, where: str) -> float:
    try:
        value = float(row[column])
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value < 0:
        raise UsageError(f"{column} takes milliseconds from 0 up, not '{row[column]}'", where)
    return value
