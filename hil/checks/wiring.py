"""Checks of the wiring tables by themselves."""

from collections.abc import Callable, Iterator

from firmware.charts.suggest import did_you_mean
from firmware.devices.limiter_state import CLASSES as COIL_CLASSES
from firmware.devices.switches import CLASSES as SWITCH_CLASSES
from firmware.devices.switches import ZONES
from firmware.play.requests import HOLD
from hil.checks.source import Finding, Source, WiringRow

Check = Callable[[Source], Iterator[Finding]]

COLUMNS: dict[str, tuple[tuple[str, type], ...]] = {
    "SWITCHES": (("name", str), ("class", str), ("zone", str), ("row", int), ("column", int)),
    "LAMPS": (("name", str), ("colour", str), ("row", int), ("column", int)),
    "COILS": (
        ("name", str),
        ("class", str),
        ("pulse", int),
        ("longest on-time", int),
        ("rest", int),
        ("drive", int),
    ),
    "REFLEXES": (("switch", str), ("coil", str), ("pulse", int), ("lockout", int)),
    "FLIPPERS": (
        ("button switch", str),
        ("end-of-stroke switch", str),
        ("strong coil", str),
        ("hold coil", str),
        ("longest strong pulse", int),
    ),
}
ONE_OF = {"SWITCHES": "switch", "LAMPS": "lamp", "COILS": "coil"}
MOST_LINES = 16  # rows or columns of a matrix
MOST_CHAINED = 64
MOST_DIRECT = 32  # direct inputs, drives
MAY_BE_HELD = ("flipper", "motor")
LONGEST_TIME = 60_000


def shapes(source: Source) -> Iterator[Finding]:
    """Every row has its columns, each of its kind."""
    for table, columns in COLUMNS.items():
        for row in source.rows[table]:
            if len(row.values) != len(columns):
                wanted = ", ".join(name for name, _ in columns)
                yield Finding(
                    f"a row of {table} has {len(columns)} values ({wanted}), not {len(row.values)}", row.where
                )
                continue
            for (column, kind), value in zip(columns, row.values, strict=True):
                if type(value) is not kind:
                    given = f"{value!r}, which is no {'whole number' if kind is int else 'text'}"
                    yield Finding(f"'{row.name}' has the {column} {given}", row.where)


def numbers(source: Source) -> Iterator[Finding]:
    """BALLS and TROUGH fit together."""
    trough, balls = source.values["TROUGH"], source.values["BALLS"]
    path = source.folder / "wiring.py"
    if type(balls) is not int or not 1 <= balls <= 10:
        yield Finding(f"BALLS is 1 to 10, not {balls!r}", source.at(path, source.lines["BALLS"]))
    if not isinstance(trough, tuple):
        yield Finding(
            f"TROUGH is a tuple of switches, not {trough!r}", source.at(path, source.lines["TROUGH"])
        )
        return
    for name in trough:
        yield from _known(source, "SWITCHES", name, "TROUGH", source.at(path, source.lines["TROUGH"]))
    if type(balls) is int and len(trough) < balls:
        text = f"TROUGH has {len(trough)} switches for {balls} balls"
        yield Finding(text, source.at(path, source.lines["TROUGH"]))


def place_words(table: str, row: WiringRow) -> str:
    """A row's place in words."""
    if table == "COILS":
        return f"drive {row.values[5]}"
    line, column = row.values[-2:]
    if line:
        return f"row {line}, column {column}"
    return f"chain {column}" if table == "LAMPS" else f"direct input {column}"


def duplicates(source: Source) -> Iterator[Finding]:
    """No two of a table share a name or a place."""
    for table, kind in ONE_OF.items():
        names: dict[str, WiringRow] = {}
        taken: dict[str, WiringRow] = {}
        for row in source.rows[table]:
            place = place_words(table, row)
            if row.name in names:
                first = names[row.name].where.rpartition(":")[2]
                yield Finding(f"{kind} '{row.name}' is wired twice (first in line {first})", row.where)
            elif place in taken:
                text = f"{kind} '{row.name}' has the place '{place}', which '{taken[place].name}' has already"
                yield Finding(text, row.where)
            names.setdefault(row.name, row)
            taken.setdefault(place, row)


def places(source: Source) -> Iterator[Finding]:
    """Places lie within a matrix, or are direct inputs and drives."""
    for table, kind in ONE_OF.items():
        for row in source.rows[table]:
            if not _exists(table, row):
                text = f"{kind} '{row.name}' has the place '{place_words(table, row)}', which no board has"
                yield Finding(text, row.where)


def _exists(table: str, row: WiringRow) -> bool:
    if table == "COILS":
        return bool(1 <= row.values[5] <= MOST_DIRECT)
    line, column = row.values[-2:]
    if line == 0:
        return bool(1 <= column <= (MOST_DIRECT if table == "SWITCHES" else MOST_CHAINED))
    return bool(1 <= line <= MOST_LINES and 1 <= column <= MOST_LINES)


def switch_words(source: Source) -> Iterator[Finding]:
    """Debounce classes and zones exist."""
    for row in source.rows["SWITCHES"]:
        classes = [known[0] for known in SWITCH_CLASSES]
        yield from _word("switch", row, "debounce class", row.values[1], classes)
        yield from _word("switch", row, "zone", row.values[2], list(ZONES))


def coil_limits(source: Source) -> Iterator[Finding]:
    """Every coil has a class, a longest on-time and a rest, and keeps to them by itself."""
    for row in source.rows["COILS"]:
        name, kind, pulse, longest, rest = row.values[:5]
        yield from _word("coil", row, "class", kind, list(COIL_CLASSES))
        if pulse == HOLD:
            if kind not in MAY_BE_HELD and kind in COIL_CLASSES:
                text = f"coil '{name}' is held on, which only {' and '.join(MAY_BE_HELD)} coils may be"
                yield Finding(text, row.where)
        elif longest <= 0:
            yield Finding(f"coil '{name}' has no longest on-time; give it one in ms", row.where)
        elif not 0 < pulse <= longest:
            yield Finding(f"coil '{name}' pulses for {pulse} ms; its limit is {longest} ms", row.where)
        elif rest <= 0:
            yield Finding(f"coil '{name}' has no rest time; give it one in ms", row.where)
        if max(pulse, longest, rest) > LONGEST_TIME:
            yield Finding(f"coil '{name}' has a time above {LONGEST_TIME:,} ms", row.where)


def reflexes(source: Source) -> Iterator[Finding]:
    """Reflexes and flippers join what is wired, within the coils' limits."""
    for row in source.rows["REFLEXES"]:
        yield from _known(source, "SWITCHES", row.values[0], "REFLEXES", row.where)
        yield from _known(source, "COILS", row.values[1], "REFLEXES", row.where)
        yield from _within(source, row, row.values[1], row.values[2])
    for row in source.rows["FLIPPERS"]:
        for switch in row.values[:2]:
            yield from _known(source, "SWITCHES", switch, "FLIPPERS", row.where)
        for coil in row.values[2:4]:
            yield from _known(source, "COILS", coil, "FLIPPERS", row.where)
        yield from _within(source, row, row.values[2], row.values[4])


def _within(source: Source, row: WiringRow, coil: str, pulse: int) -> Iterator[Finding]:
    for wired in source.rows["COILS"]:
        longest = wired.values[3]
        if wired.name == coil and type(longest) is int and 0 < longest < pulse:
            yield Finding(f"coil '{coil}' is pulsed for {pulse} ms; its limit is {longest} ms", row.where)


def _known(source: Source, table: str, name: str, who: str, where: str) -> Iterator[Finding]:
    names = source.names(table)
    if name not in names:
        kind = ONE_OF[table]
        yield Finding(
            f"{kind} '{name}' is asked for by {who} but not wired{did_you_mean(str(name), list(names))}",
            where,
        )


def _word(kind: str, row: WiringRow, what: str, given: str, allowed: list[str]) -> Iterator[Finding]:
    if given not in allowed:
        advice = did_you_mean(given, allowed) or f"; there are {', '.join(allowed)}"
        yield Finding(f"{kind} '{row.name}' has the unknown {what} '{given}'{advice}", row.where)


FIRST: tuple[Check, ...] = (shapes,)  # when these find something, the others would stumble over it
CHECKS: tuple[Check, ...] = (numbers, duplicates, places, switch_words, coil_limits, reflexes)
