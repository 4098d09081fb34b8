"""Lines for outputs without a switch: kickbacks, flashers, motors, other coils, and lamps of their own."""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from hil.game_tables import CoilRow, DisplayRow, LampRow, chime_rows, display_rows
from hil.machine import expansion as usual
from hil.machine.expansion import Times
from hil.machine.from_tables.calls import Call
from hil.machine.from_tables.lines import base
from hil.machine.from_tables.parts import Windings, coil, places
from hil.machine.from_tables.present import NEVER, Present, last_word

CLASSES: dict[str, tuple[str, Times]] = {
    "flasher": ("flashers", usual.FLASH),
    "motor": ("motor", usual.MOTOR),
}


def kickbacks(present: Present, windings: Windings) -> Iterator[Call]:
    """A line for each coil that catches a ball in a lane."""
    for row in present.shots.values():
        for steps in pairwise(row.steps):
            match steps:
                case ((_verb, _ms, lane, *_), ("catch", str(name), *_)) if name in present.coils:
                    found = coil([present.coils.pop(name)], usual.KICKBACK, windings)
                    yield Call("kickback", [name], {"lane": lane, "coil": found})


def chimes(present: Present, windings: Windings) -> Iterator[Call]:
    """A line for the chime coils that cues strike."""
    cues = chime_rows(present.wiring)
    struck = {coil for _cue, strokes in cues for coil, _ms in strokes}
    rows = [row for row in present.coils.values() if row.name in struck]
    if rows:
        first, *_ = rows
        name = base(first.name)
        for row in rows:
            del present.coils[row.name]
        ends = tuple(last_word(row.name) for row in rows)
        short = tuple((cue, tuple((last_word(one), ms) for one, ms in strokes)) for cue, strokes in cues)
        yield Call("chimes", [name, ends], {"coil": coil(rows, usual.CHIME, windings), "cues": short})


def displays(present: Present) -> Iterator[Call]:
    """A line for each group of displays that are alike."""
    described = getattr(present.wiring, "DISPLAYS", ())
    rows = display_rows(present.wiring) if described else ()
    for (name, digits, segments, shows), alike in groupby(rows, key=_without_number):
        count = len(list(alike))
        named: dict[str, object] = {"digits": digits}
        named |= {"segments": segments} if segments != 7 else {}
        named |= {"shows": shows} if shows != "score" else {}
        yield Call("displays", [name, *([count] if count > 1 else [])], named)


def _without_number(row: DisplayRow) -> DisplayRow:
    return row._replace(name=base(row.name))


def coils(present: Present, windings: Windings) -> Iterator[Call]:
    """Lines for the coils that are left: a group of one class and name in one line."""
    left = list(present.coils.values())
    present.coils.clear()
    for (kind, name), rows in groupby(left, key=lambda row: (row.kind, base(row.name))):
        yield _coils(name, kind, list(rows), present, windings)


def _coils(name: str, kind: str, rows: list[CoilRow], present: Present, windings: Windings) -> Call:
    first, *_ = rows
    if kind in CLASSES:
        line, times = CLASSES[kind]
        ends = tuple(last_word(row.name) for row in rows)
        count: list[object] = [ends] if first.name != name else []
        return Call(line, [name, *count], {"coil": coil(rows, times, windings)})
    found = Call("coil", [first.name, coil(rows, usual.EJECT, windings)])
    search = present.search.get(first.name, NEVER).first
    if search:
        found.named["search"] = search
    return found


def lamps(present: Present) -> Iterator[Call]:
    """Lines for the lamps that are left: rows of one name, else several names of one colour."""
    left = list(present.lamps.values())
    present.lamps.clear()
    single: dict[str, list[LampRow]] = {}
    for (shared, _colour), rows in groupby(left, key=lambda row: (base(row.name), row.colour)):
        found = list(rows)
        name = found[0].name
        if "." in name and (len(found) > 1 or name[-1].isdigit()):
            yield _numbered(shared, found)
        else:
            for row in found:
                single.setdefault(row.colour, []).append(row)
    for colour, rows_of_colour in single.items():
        names = tuple(row.name for row in rows_of_colour)
        yield Call(
            "lamps", [names if len(names) > 1 else names[0]], {"colour": colour, "at": _at(rows_of_colour)}
        )


def _numbered(name: str, rows: Sequence[LampRow]) -> Call:
    colour = rows[0].colour
    ends = [last_word(row.name) for row in rows]
    first = int(ends[0]) if ends[0].isdigit() else 0
    if first and ends == [str(first + step) for step in range(len(ends))]:
        found = Call("lamps", [name, len(rows)], {"colour": colour, "at": _at(rows)})
        if first != 1:
            found.named["first"] = first
        return found
    return Call("lamps", [name, tuple(ends)], {"colour": colour, "at": _at(rows)})


def _at(rows: Sequence[LampRow]) -> object:
    return places([(row.row, row.column) for row in rows])
