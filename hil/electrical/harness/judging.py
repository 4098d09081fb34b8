"""Checks whether a machine's wiring harness fits our boards: a sentence for each note or refusal."""

from collections.abc import Iterator, Sequence

from hil.electrical.harness.reading import Item
from hil.electrical.harness.remarks import Finding, Remark, grouped
from hil.electrical.harness.windings import WOUND, judged
from hil.electrical.sums import supply
from hil.electrical.sums.sizing import HIGH

__all__ = ("Finding", "is_swapped", "judge")

MOST_ROWS = 8
MOST_COLUMNS = 16
DISPLAY_VOLTS = 60.0
LOGIC_VOLTS = 5.5
LAMP_VOLTS = 12.0
LAMP_AMPERES = 0.1  # more is a bulb

Said = Iterator[tuple[str, bool]]
"""Words about one line, and whether they refuse it."""


def judge(items: Sequence[Item]) -> list[Finding]:
    """Check every line, then the whole; findings in this order, alike ones of one kind of line together."""
    remarks = [Remark(item, words, refused) for item in items for words, refused in _of_item(item)]
    return [*grouped(remarks), *grouped(judged(items)), *_of_all(items)]


def is_swapped(items: Sequence[Item]) -> bool:
    """Whether the diodes' bands are at the rows, so that the old rows are our columns."""
    return any(item.diode == "to row" for item in items if item.kind == "switch" and item.row)


def _of_item(item: Item) -> Said:
    if item.kind in WOUND:
        yield from _coil(item)
    if item.kind == "flipper":
        yield from _flipper(item)
    elif item.kind == "lamp":
        yield from _lamp(item)
    elif item.kind == "switch":
        yield from _switch(item)
    elif item.kind == "display":
        yield from _display(item)
    elif item.kind == "illumination":
        yield from _illumination(item)
    elif item.kind == "driver":
        yield (
            "belongs to a driver board that is kept; no board here drives one: put its coils on our drives",
            True,
        )


def _coil(item: Item) -> Said:
    if item.common == "zero":
        yield "has its common side on 0 V; our drives switch 0 V, so give its other side the bus", True
    if item.winding == "ac" or item.current == "ac":
        yield "is wound for, or fed with, AC; on DC it burns: fit one wound for DC", True
    if item.diode == "to drive":
        yield "has a diode with its band at the drive, which would short it: turn it round", True
    if item.diode in ("", "none"):
        yield "has no diode of its own; the board's clamp is the only one", False


def _flipper(item: Item) -> Said:
    if item.button == "coil current":
        yield (
            "has a cabinet button that carries its coil current: put the button on a direct input and the"
            " coil on drives",
            True,
        )
    if item.winding == "strong and hold":
        yield "has two windings: two drives, the end-of-stroke switch on an input", False
    elif item.winding == "single":
        yield "has one winding: a strong drive, and a held drive (PWM) beside it", False
    else:
        yield "is wound in a way that is not told: say strong and hold, or single", True


def _lamp(item: Item) -> Said:
    if item.switching == "thyristor":
        yield "hangs on a thyristor, which never goes out on smoothed DC: move it to our matrix", True
    elif item.current in ("ac", "unsmoothed"):
        yield f"is fed with {item.current} current; our matrix needs smooth 12 V and LEDs", True
    elif item.volts and item.volts != LAMP_VOLTS:
        bulb = f" and a bulb of {item.amperes:g} A" if item.amperes > LAMP_AMPERES else ""
        yield f"is for {item.volts:g} V{bulb}; our matrix feeds 12 V: fit a 12 V LED", False
    elif item.amperes > LAMP_AMPERES:
        yield f"is a bulb of {item.amperes:g} A; our matrix is for LEDs: fit a 12 V LED", False


def _switch(item: Item) -> Said:
    if item.button == "coil current":
        yield "carries a coil's current; it must carry logic only", True
    if not item.row:
        return
    if item.row > MOST_ROWS or item.column > MOST_COLUMNS or not item.column:
        yield (
            f"is at row {item.row}, column {item.column}; at most {MOST_ROWS} rows and {MOST_COLUMNS} columns"
            " can be read",
            True,
        )
    if item.diode in ("", "none"):
        yield "has no diode: three closed switches may read as four", False
    if item.diode in ("to supply", "to drive"):
        yield f"has a diode 'to row' or 'to column', not '{item.diode}'", True


def _display(item: Item) -> Said:
    if item.volts > DISPLAY_VOLTS:
        yield (
            f"runs from {item.volts:g} V, which can kill: take it and its supply out and fit our displays",
            True,
        )
    elif item.volts <= LOGIC_VOLTS:
        yield (
            "has digits at logic level that want segments and strobes from the old board: fit our displays,"
            " which take two wires",
            False,
        )
    else:
        yield f"runs from {item.volts:g} V; nothing here drives it: fit our displays", False


def _illumination(item: Item) -> Said:
    alternating = item.current in ("ac", "unsmoothed")
    if not item.fuse:
        yield "has no fuse of its own: fit one before it is switched on", True
    if item.volts and supply.hazardous(item.volts * HIGH, not alternating):
        yield f"runs from {item.volts:g} V, which is dangerous to touch: replace it and its supply", True
    else:
        yield (
            "stays on its own transformer and fuse, lit whenever the machine is on: join it neither to the"
            " lamp matrix nor to logic 0 V",
            False,
        )


def _of_all(items: Sequence[Item]) -> Iterator[Finding]:
    """Findings about several lines: names and places twice, diodes in both directions, shared wires."""
    yield from _twice(items)
    yield from _diodes(items)
    yield from _steered(items)
    yield from _chained(items)
    yield from _fired(items)


def _twice(items: Sequence[Item]) -> Iterator[Finding]:
    names: dict[tuple[str, str], Item] = {}
    places: dict[tuple[str, int, int], Item] = {}
    for item in items:
        if (item.kind, item.name) in names:
            yield Finding(f"{item.kind} '{item.name}' is listed twice", item.where, True)
        names.setdefault((item.kind, item.name), item)
        place = (item.kind, item.row, item.column)
        if item.kind in ("switch", "lamp") and item.row:
            if place in places:
                yield Finding(
                    f"{item.kind}s '{places[place].name}' and '{item.name}' are both at row {item.row},"
                    f" column {item.column}",
                    item.where,
                    True,
                )
            places[place] = item


def _diodes(items: Sequence[Item]) -> Iterator[Finding]:
    matrix = [item for item in items if item.kind == "switch" and item.row and "to " in item.diode]
    ways: dict[str, list[Item]] = {}
    for item in matrix:
        ways.setdefault(item.diode, []).append(item)
    if len(ways) == 1 and is_swapped(matrix):
        yield Finding("the diodes' bands are at the rows: your rows are our columns", matrix[0].where, False)
    if len(ways) > 1:
        fewer = min(ways.values(), key=len)
        names = ", ".join(f"'{item.name}'" for item in fewer)
        yield Finding(
            f"the diodes of the switch matrix point both ways: turn round that of {names}",
            fewer[0].where,
            True,
        )


def _steered(items: Sequence[Item]) -> Iterator[Finding]:
    told: set[frozenset[str]] = set()
    for item in items:
        pair = frozenset((item.name, item.steered))
        if item.steered and pair not in told:
            told.add(pair)
            yield Finding(
                f"{item.kind} '{item.name}' shares its wire with '{item.steered}' behind a relay; give each"
                " its own drive",
                item.where,
                True,
            )


def _chained(items: Sequence[Item]) -> Iterator[Finding]:
    chains: dict[str, list[Item]] = {}
    for item in items:
        if item.kind in WOUND and item.chain:
            chains.setdefault(item.chain, []).append(item)
    for name, members in chains.items():
        if len(members) > 1:
            names = ", ".join(f"'{item.name}'" for item in members)
            yield Finding(
                f"the supply wire '{name}' goes from coil to coil ({names}): split it, so that each coil has"
                " its own fuse and bus wire",
                members[0].where,
                False,
            )


def _fired(items: Sequence[Item]) -> Iterator[Finding]:
    wound = {item.name: item for item in items if item.kind in WOUND}
    fired = {item.fires for item in items if item.kind == "switch"}
    for item in items:
        if item.fires and item.fires not in wound:
            yield Finding(
                f"switch '{item.name}' fires '{item.fires}', which is no coil of this harness",
                item.where,
                True,
            )
        if item.kind == "flipper" and item.winding == "strong and hold" and fired and item.name not in fired:
            yield Finding(
                f"flipper '{item.name}' has no end-of-stroke switch that names it: its strong winding is"
                " cut by time alone",
                item.where,
                False,
            )
