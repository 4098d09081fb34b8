"""Checks of what a game says of its displays and chimes, where it says anything."""

from collections.abc import Iterator
from typing import cast

from firmware.charts.suggest import did_you_mean
from firmware.play import interfaces
from hil.checks.source import Finding, Source, WiringRow
from hil.game_tables import ChimeRow, DisplayRow

COLUMNS: dict[str, tuple[tuple[str, type], ...]] = {
    "DISPLAYS": (("name", str), ("digits", int), ("segments", int), ("use", str)),
    "CHIMES": (("cue", str), ("strokes", tuple)),
}
WORDS = {int: "whole number", str: "text", tuple: "tuple"}
MOST_DIGITS = 16
SEGMENTS = (7, 14)
USES = ("score", "count")
LONGEST_GAP = 2_000
LATE = 50  # ms by which a stroke may come late on a board that has much to do, and the next one be early


def shapes(source: Source) -> Iterator[Finding]:
    """Every row has its columns, each of its kind."""
    for table, columns in COLUMNS.items():
        for row in source.rows.get(table, []):
            wanted = ", ".join(name for name, _ in columns)
            if len(row.values) != len(columns):
                text = f"a row of {table} has {len(columns)} values ({wanted}), not {len(row.values)}"
                yield Finding(text, row.where)
                continue
            for (column, kind), value in zip(columns, row.values, strict=True):
                if type(value) is not kind:
                    text = f"'{row.name}' has the {column} {value!r}, which is no {WORDS[kind]}"
                    yield Finding(text, row.where)
            if table == "CHIMES":
                yield from _strokes(row)


def _strokes(row: WiringRow) -> Iterator[Finding]:
    """Each stroke is a coil and a time."""
    strokes = row.values[1]
    for stroke in strokes if isinstance(strokes, tuple) else ():
        if not isinstance(stroke, tuple) or [type(value) for value in stroke] != [str, int]:
            text = f"cue '{row.name}' has the stroke {stroke!r}; it is a coil and the ms until the next"
            yield Finding(text, row.where)


def displays(source: Source) -> Iterator[Finding]:
    """Displays have a size, segments that there are glyphs for, and something to show."""
    for written in source.rows.get("DISPLAYS", []):
        row = DisplayRow(*cast(interfaces.DisplayRow, written.values))
        who = f"display '{row.name}'"
        if not 1 <= row.cells <= MOST_DIGITS:
            yield Finding(f"{who} has {row.cells} digits; 1 to {MOST_DIGITS} are allowed", written.where)
        if row.segments not in SEGMENTS:
            allowed = " or ".join(str(number) for number in SEGMENTS)
            yield Finding(f"{who} has {row.segments} segments; {allowed} are allowed", written.where)
        if row.shows not in USES:
            near = did_you_mean(row.shows, list(USES)) or f"; there are {', '.join(USES)}"
            yield Finding(f"{who} has the unknown use '{row.shows}'{near}", written.where)


def chimes(source: Source) -> Iterator[Finding]:
    """A cue's strokes are of wired coils, which have rested before they are struck again."""
    coils = {row.name: cast(interfaces.CoilRow, row.values) for row in source.rows["COILS"]}
    for written in source.rows.get("CHIMES", []):
        row = ChimeRow(*cast(interfaces.ChimeRow, written.values))
        for coil, gap in row.strokes:
            if coil not in coils:
                near = did_you_mean(coil, list(coils))
                yield Finding(f"coil '{coil}' is asked for by CHIMES but not wired{near}", written.where)
                continue
            _name, _class, pulse, _longest, rest, _drive = coils[coil]
            least = pulse + rest + LATE
            if not least <= gap <= LONGEST_GAP:
                text = f"cue '{row.cue}' goes on {gap} ms after '{coil}'; it takes {least} to {LONGEST_GAP}"
                yield Finding(text, written.where)


def struck(source: Source) -> set[str]:
    """The coils that chimes strike."""
    rows = source.rows.get("CHIMES", [])
    return {coil for row in rows for coil, _gap in cast(interfaces.ChimeRow, row.values)[1]}


FIRST = (shapes,)
CHECKS = (displays, chimes)
