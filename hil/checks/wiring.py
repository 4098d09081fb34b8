"""Checks of the wiring tables by themselves."""

from collections.abc import Callable, Iterator, Sequence

from firmware.charts.suggest import did_you_mean
from firmware.devices.chain import COLOURS
from firmware.devices.limiter_state import CLASSES as COIL_CLASSES
from firmware.devices.switches import CLASSES as SWITCH_CLASSES
from firmware.devices.switches import ZONES
from firmware.play.requests import HOLD
from hil.checks.source import Finding, Located, Source
from hil.game_tables import MATRIX_ROW_OF_DIRECT, CoilRow, LampRow, SwitchRow

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
        mend = f": write ({trough!r},) with the comma" if isinstance(trough, str) else ""
        yield Finding(
            f"TROUGH is a tuple of switches, not {trough!r}{mend}", source.at(path, source.lines["TROUGH"])
        )
        return
    for name in trough:
        yield from _known(source, "SWITCHES", name, "TROUGH", source.at(path, source.lines["TROUGH"]))
    if type(balls) is int and len(trough) < balls:
        text = f"TROUGH has {len(trough)} switches for {balls} balls"
        yield Finding(text, source.at(path, source.lines["TROUGH"]))


def place_words(row: SwitchRow | LampRow | CoilRow) -> str:
    """A row's place in words."""
    if isinstance(row, CoilRow):
        return f"drive {row.drive}"
    if row.row:
        return f"row {row.row}, column {row.column}"
    return f"chain {row.column}" if isinstance(row, LampRow) else f"direct input {row.column}"


def _wired(source: Source) -> Iterator[tuple[str, Sequence[Located[SwitchRow | LampRow | CoilRow]]]]:
    """The tables whose rows have a place, each with the word for one of its parts."""
    yield ONE_OF["SWITCHES"], source.switches()
    yield ONE_OF["LAMPS"], source.lamps()
    yield ONE_OF["COILS"], source.coils()


def duplicates(source: Source) -> Iterator[Finding]:
    """No two of a table share a name or a place."""
    for kind, rows in _wired(source):
        lines: dict[str, str] = {}
        owners: dict[str, str] = {}
        for row, where in rows:
            place = place_words(row)
            if row.name in lines:
                yield Finding(f"{kind} '{row.name}' is wired twice (first in line {lines[row.name]})", where)
            elif place in owners:
                text = f"{kind} '{row.name}' has the place '{place}', which '{owners[place]}' has already"
                yield Finding(text, where)
            lines.setdefault(row.name, where.rpartition(":")[2])
            owners.setdefault(place, row.name)


def places(source: Source) -> Iterator[Finding]:
    """Places lie within a matrix, or are direct inputs and drives."""
    for kind, rows in _wired(source):
        for row, where in rows:
            if not _exists(row):
                text = f"{kind} '{row.name}' has the place '{place_words(row)}', which no board has"
                yield Finding(text, where)


def _exists(row: SwitchRow | LampRow | CoilRow) -> bool:
    if isinstance(row, CoilRow):
        return 1 <= row.drive <= MOST_DIRECT
    if row.row == MATRIX_ROW_OF_DIRECT:
        return 1 <= row.column <= (MOST_DIRECT if isinstance(row, SwitchRow) else MOST_CHAINED)
    return 1 <= row.row <= MOST_LINES and 1 <= row.column <= MOST_LINES


def switch_words(source: Source) -> Iterator[Finding]:
    """Debounce classes and zones exist."""
    classes = [known[0] for known in SWITCH_CLASSES]
    for row, where in source.switches():
        yield from _word(f"switch '{row.name}'", where, "debounce class", row.debounce_class, classes)
        yield from _word(f"switch '{row.name}'", where, "zone", row.zone, list(ZONES))


def lamp_colours(source: Source) -> Iterator[Finding]:
    """Colours are those that the desk draws and a chain of addressable LEDs shows."""
    known = [name for name, *_ in COLOURS]
    for row, where in source.lamps():
        yield from _word(f"lamp '{row.name}'", where, "colour", row.colour, known)


def coil_limits(source: Source) -> Iterator[Finding]:
    """Every coil has a class, a longest on-time and a rest, and keeps to them by itself."""
    for row, where in source.coils():
        name, kind, pulse, longest, rest, _drive = row
        yield from _word(f"coil '{name}'", where, "class", kind, list(COIL_CLASSES))
        if pulse == HOLD:
            if kind not in MAY_BE_HELD and kind in COIL_CLASSES:
                text = f"coil '{name}' is held on, which only {' and '.join(MAY_BE_HELD)} coils may be"
                yield Finding(text, where)
        elif longest <= 0:
            yield Finding(f"coil '{name}' has no longest on-time; give it one in ms", where)
        elif not 0 < pulse <= longest:
            yield Finding(f"coil '{name}' pulses for {pulse} ms; its limit is {longest} ms", where)
        elif rest <= 0:
            yield Finding(f"coil '{name}' has no rest time; give it one in ms", where)
        if max(pulse, longest, rest) > LONGEST_TIME:
            yield Finding(f"coil '{name}' has a time above {LONGEST_TIME:,} ms", where)


def reflexes(source: Source) -> Iterator[Finding]:
    """Reflexes and flippers join what is wired, within the coils' limits."""
    for reflex, where in source.reflexes():
        yield from _known(source, "SWITCHES", reflex.switch, "REFLEXES", where)
        yield from _known(source, "COILS", reflex.coil, "REFLEXES", where)
        yield from _within(source, where, reflex.coil, reflex.pulse_ms)
    for flipper, where in source.flippers():
        for switch in (flipper.button, flipper.stroke_switch):
            yield from _known(source, "SWITCHES", switch, "FLIPPERS", where)
        for coil in (flipper.strong, flipper.hold):
            yield from _known(source, "COILS", coil, "FLIPPERS", where)
        yield from _within(source, where, flipper.strong, flipper.longest_ms)


def _within(source: Source, where: str, coil: str, pulse: int) -> Iterator[Finding]:
    for wired, _ in source.coils():
        if wired.name == coil and 0 < wired.longest_ms < pulse:
            text = f"coil '{coil}' is pulsed for {pulse} ms; its limit is {wired.longest_ms} ms"
            yield Finding(text, where)


def _known(source: Source, table: str, name: object, who: str, where: str) -> Iterator[Finding]:
    names = source.names(table)
    if name not in names:
        kind = ONE_OF[table]
        yield Finding(
            f"{kind} '{name}' is used by {who} but not wired{did_you_mean(str(name), list(names))}",
            where,
        )


def _word(who: str, where: str, what: str, given: str, allowed: list[str]) -> Iterator[Finding]:
    if given not in allowed:
        advice = did_you_mean(given, allowed) or f"; there are {', '.join(allowed)}"
        yield Finding(f"{who} has the unknown {what} '{given}'{advice}", where)


FIRST: tuple[Check, ...] = (shapes,)  # when these find something, the others would stumble over it
CHECKS: tuple[Check, ...] = (numbers, duplicates, places, switch_words, lamp_colours, coil_limits, reflexes)
